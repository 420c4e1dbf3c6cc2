#!/usr/bin/env python3
"""Every candidate of a small study by brute force, which of them no other dominates, and classes of crank phasings.

    searches.py INPUT.txt > RAW.txt

Each candidate is computed for itself: pins and pistons are put where the rods let them be, at 64 crank angles; the Fourier
transform of mass times place gives the harmonics of the force. Top dead centre is where the piston's place has no slope,
found by scipy.optimize.brentq; every way of sharing out the cylinders between the two revolutions is tried. Every candidate is
held against every other. Two phasings are of one class where a walk of turns, mirror images and reversals leads from one to the
other (scipy.sparse.csgraph.connected_components). The input is explained in README.md.
"""

import itertools
import math
import platform
import random
import sys

import numpy as np
import scipy
from scipy.optimize import brentq
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

SAMPLES = 64
SAME = 1e-11  # values closer than that, of what they would be if nothing cancelled, are one value
TOGETHER = 1e-9  # firings closer than that are at once [rad]


def read(path):
    p = {"name": "", "offsets": [], "front": [], "classes": []}
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if not words:
                continue
            item, values = words[0], words[1:]
            if item == "name":
                p["name"] = values[0]
            elif item in ("offsets", "front", "classes"):
                p[item].append([float(x) for x in values])
            elif item in ("crank", "rod", "piston", "places", "weights", "banks", "splits", "step", "speed", "orders", "draw"):
                p[item] = [float(x) for x in values]
            else:
                raise SystemExit(f"searches.py: {item} is not known")
    return p


def candidates(p):
    """What may vary, row by row: numbers of counterweights and offsets, bank angle, pin split, then the pins [deg]."""
    pins = np.arange(0, 360, p["step"][0])
    free = itertools.product(pins, repeat=int(p["places"][0]) - 1)
    banks = p.get("banks", [0.0])
    kinds = itertools.product(range(len(p["weights"])), range(len(p["offsets"])), banks, p["splits"])
    return [(*kind, 0.0, *rest) for kind, rest in itertools.product(list(kinds), list(free))]


def trains(p, rows):
    """Pins (x, angle, rods on it) and cylinders (x, axis, offset, angle of the pin) of every candidate, an array each."""
    count, spacing, stagger = int(p["places"][0]), p["places"][1], p["places"][2]
    rows = np.array(rows)
    bank, split, pins = np.radians(rows[:, 2]), np.radians(rows[:, 3]), np.radians(rows[:, 4:])
    offset = np.array(p["offsets"])[rows[:, 1].astype(int)]
    one = np.ones(len(rows))
    pinned, cylinders = [], []
    if "banks" not in p:
        for k in range(count):
            x = (k - (count - 1) / 2) * spacing * one
            pinned.append((x, pins[:, k], one))
            cylinders.append((x, 0 * one, offset[:, 0], pins[:, k]))
        return pinned, cylinders
    apart = split != 0  # then each rod has a pin of its own
    for side in (0, 1):
        for k in range(count):
            x = (k - (count - 1) / 2) * spacing * one
            at = x + (side - 0.5) * stagger
            pin = pins[:, k] - side * split
            pinned.append((np.where(apart, at, x), pin, np.where(apart, 1.0, 2.0 - 2.0 * side)))
            cylinders.append((at, (side - 0.5) * bank, offset[:, side], pin))
    return pinned, cylinders


def top(p, offset):
    """By how much the top dead centre of an offset cylinder is later: no slope of the piston's place [rad]."""
    r, length = p["crank"][0], p["rod"][0]

    def slope(a, h=1e-30):  # by a complex step
        z = complex(a, h)
        return (r * np.cos(z) + np.sqrt(length**2 - (offset - r * np.sin(z)) ** 2)).imag / h

    return brentq(slope, -0.5, 0.5, xtol=1e-15, rtol=1e-15)


def shaking(p, rows):
    """Largest free force and moment of orders 1 and 2 [N, N m], the parts of order 1 that turn against the crank, and what the
    first four would be if nothing cancelled."""
    r, unbalance = p["crank"]
    length, rod, cg = p["rod"]
    turn = 2 * np.pi * np.arange(SAMPLES) / SAMPLES
    w2 = (p["speed"][0] * np.pi / 30) ** 2
    pinned, cylinders = trains(p, rows)
    factor = np.array(p["weights"])[[row[0] for row in rows]]
    turning, sliding = rod * (1 - cg / length) * r, (p["piston"][0] + rod * cg / length) * r
    force, moment = np.zeros((2, len(rows), SAMPLES), complex)
    gross = np.zeros((4, len(rows)))

    def harmonic(curve, n):
        c = n * n * w2 * np.fft.fft(curve, axis=-1) / SAMPLES
        return c[..., n], c[..., -n]

    def add(x, place):  # place: mass times (y + iz)
        nonlocal force, moment
        force = force + place
        moment = moment + 1j * x[:, None] * place
        for n in (1, 2):
            size = sum(map(abs, harmonic(place, n)))
            gross[n - 1] += size
            gross[n + 1] += abs(x) * size

    for x, angle, rods in pinned:
        out = 1j * np.exp(1j * (turn + angle[:, None]))
        weight = np.where(factor < 0, 0, unbalance + rods * (turning + factor * sliding))  # opposite the pin, none below 0
        add(x, np.where(rods > 0, unbalance, 0)[:, None] * out)
        add(x, np.where(rods > 0, -weight, 0)[:, None] * out)
    for x, axis, offset, angle in cylinders:
        up = 1j * np.exp(1j * axis[:, None])
        pin = r * np.exp(1j * (turn + (angle - axis)[:, None]))  # along the cylinder + i across
        piston = pin.real + np.sqrt(length**2 - (offset[:, None] - pin.imag) ** 2) + 1j * offset[:, None]
        add(x, rod * (pin + cg / length * (piston - pin)) * up)
        add(x, p["piston"][0] * piston * up)
    figures = []
    for curve in (force, moment):
        for n in (1, 2):
            figures.append(sum(map(abs, harmonic(curve, n))))
    figures += [abs(harmonic(curve, 1)[1]) for curve in (force, moment)]
    return np.array(figures).T, gross.T


def firing(tops):
    """Of every way of sharing out the cylinders between two revolutions: evenness, longest and shortest interval, order of firing.
    Cylinders that need not fire at once do not."""
    n, cycle, found = len(tops), 4 * np.pi, []
    for rest in itertools.product((0, 1), repeat=n - 1):
        at = [t + 2 * np.pi * v for t, v in zip(tops, (0, *rest))]
        order = sorted(range(n), key=lambda c: (round(at[c] / TOGETHER), c))
        gaps = [(at[b] - at[a]) % cycle for a, b in zip(order, order[1:])]
        gaps = [0.0 if min(g, cycle - g) < TOGETHER else g for g in gaps]
        gaps.append(cycle - sum(gaps))
        first = order.index(0)
        found.append((gaps.count(0.0), cycle**2 / (n * sum(g * g for g in gaps)), max(gaps), min(gaps), order[first:] + order[:first]))
    return found


def schedules(found):
    """Of the ways that firing found those that a firing order can name: with one order the most even one."""
    fewest = min(f[0] for f in found)
    named = {}
    for at_once, even, longest, shortest, order in found:
        key = tuple(order)
        if at_once == fewest and (key not in named or even > named[key][0] + 1e-12):
            named[key] = (even, math.degrees(longest), math.degrees(shortest))
    return named


def all_figures(p):
    """Inputs, figures, and what forces and moments would be if nothing cancelled, of every candidate that can fire."""
    rows = candidates(p)
    forces, gross = shaking(p, rows)
    late = {o: top(p, o) for pair in p["offsets"] for o in pair}
    _, cylinders = trains(p, rows)
    tops = np.array([axis - angle + [late[o] for o in offset] for _, axis, offset, angle in cylinders]).T
    tops = (tops + 1e-10) % (2 * np.pi) - 1e-10
    known, inputs, figures, most = {}, [], [], []
    for row, f, g, t in zip(rows, forces, gross, tops):
        if not p["orders"][0]:
            t = np.sort(t)  # which cylinder it is does not matter
        key = tuple(np.round(t, 12))
        if key not in known:
            ways = firing(t)
            if p["orders"][0]:
                known[key] = schedules(ways)
            else:
                known[key] = {(): (max(w[1] for w in ways),)}
        for order, times in known[key].items():
            number = [int("".join(str(c + 1) for c in order))] if order else []
            inputs.append([*(row if "banks" in p else row[4:]), *number])
            figures.append([*f, *times])
            most.append(g)
    return inputs, np.array(figures), np.array(most)


def one_value(column, scale):
    """The column with values that differ by rounding made one, and the least distance of two that are not one."""
    sequence = np.argsort(column, kind="stable")
    steps = np.diff(column[sequence]) / scale
    group = np.concatenate([[0], np.cumsum(steps > SAME)])
    first = column[sequence][np.concatenate([[True], steps > SAME])]
    out = np.empty_like(column)
    out[sequence] = first[group]
    return out, min(steps[steps > SAME], default=np.inf)


def front(costs):
    """The different rows that no other row dominates, and how many rows have those values."""
    rows, alike = np.unique(costs, axis=0, return_counts=True)
    keep = []
    for i, row in enumerate(rows):
        no_worse = np.all(rows <= row, axis=1)
        better = np.any(rows < row, axis=1)
        if not np.any(no_worse & better):
            keep.append(i)
    return rows[keep], alike[keep]


def classes(throws, steps, mirror, reversal, both):
    """How many classes of phasings a walk of these operations leaves, all throws free."""
    shape = (steps,) * throws
    angles = np.array(np.unravel_index(np.arange(steps**throws), shape))
    ways = [angles + 1]
    if mirror:
        ways.append(-angles)
    if reversal:
        ways.append(angles[::-1])
    if both:
        ways.append(-angles[::-1])
    to = np.concatenate([np.ravel_multi_index(w % steps, shape) for w in ways])
    at = np.tile(np.arange(steps**throws), len(ways))
    graph = coo_array((np.ones(len(to), np.int8), (at, to)), shape=(steps**throws,) * 2)
    return connected_components(graph, directed=False)[0]


def numbers(values):
    return " ".join(repr(float(v)) for v in values)


def main(path):
    p = read(path)
    print("# search:", p["name"])
    print("# command: searches.py", path)
    print(f"# library: Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}")
    if p["classes"]:
        print("# lines: classes throws steps mirror reversal both count")
        for row in p["classes"]:
            print("classes", *map(int, row), classes(*map(int, row)))
        return
    inputs, figures, most = all_figures(p)
    scale = np.concatenate([most.max(axis=0), most.max(axis=0)[[0, 2]], [1.0, 720.0, 720.0][: figures.shape[1] - 6]])
    merged, apart = zip(*(one_value(c, s) for c, s in zip(figures.T, scale)))
    merged = np.array(merged).T
    print(f"# settings: {SAMPLES} crank angles; values closer than {SAME:g} of what would be if nothing cancelled are one")
    print(f"# tolerance: values that are not one are at least {min(apart):.1e} of it apart")
    print("# lines: kept number of candidates | scale of each figure: what it would be if nothing cancelled, 1, a cycle |")
    print("#   mean of each figure over all candidates |")
    print("#   candidate inputs | figures of it: force of orders 1, 2, moment of orders 1, 2, force, moment of order 1 against")
    print("#   the crank, evenness, longest, shortest interval | aims of the points that follow, 1 less, -1 more is better |")
    print("#   point number of candidates, value of each aim")
    print("kept", len(inputs))
    print("scale", numbers(scale))
    print("mean", numbers(figures.mean(axis=0)))
    count, seed = map(int, p["draw"])
    for i in sorted(random.Random(seed).sample(range(len(inputs)), min(count, len(inputs)))):
        print("candidate", numbers(inputs[i]))
        print("figures", numbers(figures[i]))
    for signs in p["front"]:
        aims = [k for k, s in enumerate(signs) if s]
        sign = np.array([signs[k] for k in aims])
        rows, alike = front(merged[:, aims] * sign)
        print("aims", numbers(signs))
        for row, n in zip(rows * sign, alike):
            print("point", n, numbers(row + 0.0))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: searches.py INPUT.txt > RAW.txt")
    main(sys.argv[1])
