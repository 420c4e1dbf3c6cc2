#!/usr/bin/env python3
"""The same work as package yardsticks measures of ours, with NumPy and SciPy, as fast as we know how.

    yard.py engine|study|shaft|mounts INPUT.txt

Answers on standard output what it is asked on standard input, a line each:

    give WAY        the numbers, one behind the other
    time WAY N      how much processor time N evaluations take [s]

The ways
    engine   plain     cylinders by crank angles as arrays, sine and cosine for each
             tables    as the C of the same name: directions from a table, one revolution of a motion, shared by cylinders
                       that are alike, the second revolution a copy
             kept      as tables, the motion kept from one evaluation to the next
             orders    the curves with all their orders, the harmonics of a motion kept, the curves from the orders by a
                       transform; the orders stand behind the curves, as in the C
    study    arrays    all candidates at once, in closed form
    shaft    modes     scipy.linalg.eigh
             each      scipy.linalg.solve for each speed and order
             stacked   one numpy.linalg.solve of all of them
    mounts   modes, each, stacked: likewise

The inputs are those of checks/independent; that of a study has the items of its searches.py that are read here.
"""

import cmath
import itertools
import math
import sys
import time

import numpy as np
import scipy.fft
import scipy.linalg

ORDERS = 40  # room for those of a cylinder
COMPONENTS = np.array([[1, 1], [-1j, 1j]])  # y and z of what turns with the crank and the conjugate of what turns against it


def read(path):
    """The values of each item, a list of rows."""
    rows = {}
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if words:
                rows.setdefault(words[0], []).append(words[1:])
    return rows


def table(rows):
    return np.array([[float(v) for v in row] for row in rows])


# ---------------------------------------------------------------- engine


def share(kind, c, s):
    """What cylinders do in their own frames per square of the speed: force along and across, torque, roll moment."""
    r, length, offset, piston, rod, cg, inertia = kind
    part = cg / length
    rs, rc = r * s, r * c
    d = offset - rs
    h = np.sqrt(length * length - d * d)
    inverse = 1 / h
    h1 = d * rc * inverse
    h2 = -(rc * rc + d * rs + h1 * h1) * inverse
    turn1 = -rc * inverse
    turn2 = (rs - turn1 * h1) * inverse
    v, a = h1 - rs, h2 - rc
    gu, gv = rc + part * h, rs + part * d
    gu1, gv1 = part * h1 - rs, (1 - part) * rc
    gu2, gv2 = part * h2 - rc, (part - 1) * rs
    torque = -(piston * v * a + rod * (gu1 * gu2 + gv1 * gv2) + inertia * turn1 * turn2)
    roll = -torque - (rod * (gu * gv2 - gv * gu2) - piston * offset * a + inertia * turn2)
    return -(piston * a + rod * gu2), -rod * gv2, torque, roll


class Engine:
    """An inline engine: all rods stand on the crank."""

    def __init__(self, path):
        rows = read(path)
        self.speed, self.reference = float(rows["speed"][0][0]), float(rows["reference"][0][0])
        self.samples, self.turns = (int(v) for v in rows["sample"][0])
        rods, pistons = table(r[2:] for r in rows["rod"]), table(p[2:] for p in rows["piston"])
        self.x, self.pin, self.axis = rods[:, 0], rods[:, 2], pistons[:, 0]
        # radius, rod length, offset, masses of piston and rod, centre of gravity, moment of inertia
        self.kinds = np.column_stack([rods[:, 1], rods[:, 3], pistons[:, 1], pistons[:, 2], rods[:, 4:7]])
        self.masses = table(m[1:] for m in rows["mass"]) if "mass" in rows else np.zeros((0, 4))
        n = self.samples // self.turns
        self.unit = np.exp(2j * np.pi * np.arange(n) / n)
        self.angle = 2 * np.pi * self.turns * np.arange(self.samples) / self.samples
        self.known, self.places, self.harmonics = {}, {}, []
        self.powers = self.unit[np.outer(np.arange(n), np.arange(1, ORDERS + 1)) % n]  # by angle and order
        self.spectrum = np.zeros((6, n // 2 + 1), complex)  # of the curves

    def plain(self):
        w2 = self.speed**2
        axis = self.axis[:, None]
        phase = self.angle + (self.pin - self.axis)[:, None]
        along, across, torque, roll = share(self.kinds.T[:, :, None], np.cos(phase), np.sin(phase))
        s, c = np.sin(axis), np.cos(axis)
        y, z = -along * s - across * c, along * c - across * s
        arm = self.x - self.reference
        x, radius, angle, mass = self.masses.T
        pull = mass * radius
        turned = self.angle + angle[:, None]
        my, mz = -np.sin(turned), np.cos(turned)
        arms = pull * (x - self.reference)
        out = np.empty((6, self.samples))
        out[0] = y.sum(axis=0) + pull @ my
        out[1] = z.sum(axis=0) + pull @ mz
        out[2] = -(arm @ z) - arms @ mz
        out[3] = arm @ y + arms @ my
        out[4] = torque.sum(axis=0)
        out[5] = roll.sum(axis=0)
        out *= w2
        return out

    def tables(self):
        self.known.clear()
        return self.kept()

    def motion(self, kind, rest, n):
        """A revolution of a kind of cylinder, twice: force along the axis and across as a complex number, torque and roll as another."""
        key = (kind, round(rest, 9))
        if key not in self.known:
            unit = self.unit * np.exp(2j * np.pi * rest / n) if rest else self.unit
            along, across, torque, roll = share(kind, unit.real, unit.imag)
            both = np.empty((2, 2 * n), complex)
            both[0, :n].real, both[0, :n].imag = along, across
            both[1, :n].real, both[1, :n].imag = torque, roll
            both[:, n:] = both[:, :n]
            self.known[key] = both
        return self.known[key]

    def kept(self):
        w2, n = self.speed**2, self.samples // self.turns
        x, radius, angle, mass = self.masses.T
        pull = 1j * w2 * mass * radius * np.exp(1j * angle)
        force, moment = pull.sum() * self.unit, (1j * (x - self.reference) * pull).sum() * self.unit
        scalar = np.zeros(n, complex)
        for at, axis, pin, kind in zip(self.x.tolist(), self.axis.tolist(), self.pin.tolist(), map(tuple, self.kinds.tolist())):
            steps = (pin - axis) * n / (2 * np.pi)
            whole = int(np.floor(steps + 1e-9))
            both = self.motion(kind, steps - whole, n)
            first = whole % n
            turned = (1j * w2 * np.exp(1j * axis)) * both[0, first : first + n]
            force += turned
            turned *= 1j * (at - self.reference)
            moment += turned
            scalar += both[1, first : first + n]
        out = np.empty((6, self.turns, n))
        for i, curve in enumerate((force, moment, w2 * scalar)):
            out[2 * i], out[2 * i + 1] = curve.real, curve.imag
        return out


    def place(self, kind, rest, n):
        """Where the harmonics of a kind of cylinder stand: half the force as what turns with the crank and the conjugate of what
        turns against it, torque, roll."""
        key = (kind, round(rest, 9))
        if key not in self.places:
            all_orders = np.fft.fft(self.motion(kind, rest, n)[:, :n]) / n
            up, down = all_orders[:, 1 : ORDERS + 1], all_orders[:, : -ORDERS - 1 : -1].conj()
            found = np.array([up[0], down[0], up[1] + down[1], (up[1] - down[1]) / 1j])
            for two in found[:2], found[2:]:
                for part in two.real, two.imag:
                    part[np.abs(part) < 2e-15 * np.abs(two).max()] = 0
            if found[:, -1].any():
                sys.exit("a cylinder has more orders than there is room for")
            self.harmonics = np.array([*self.harmonics, found])
            self.places[key] = len(self.harmonics) - 1, int(np.flatnonzero(found.any(axis=0))[-1]) + 1
        return self.places[key]

    def orders(self):
        """The curves; force and moment with the crank, against it, torque and roll by order, per square of the speed."""
        w2, n, axis = self.speed**2, self.samples // self.turns, self.axis.item(0)
        first, own, most = [], [], 0
        for beta, pin, kind in zip(self.axis.tolist(), self.pin.tolist(), map(tuple, self.kinds.tolist())):
            if beta != axis:
                sys.exit("orders is for cylinders in line")
            steps = (pin - axis) * n / (2 * math.pi)
            whole = math.floor(steps + 1e-9)
            place, highest = self.place(kind, steps - whole, n)
            first.append(whole % n)
            own.append(place)
            most = max(most, highest)
        arms = np.ones((2, len(own)), complex)
        arms[1] = self.x - self.reference
        turned = self.harmonics.take(own, axis=0)
        turned *= self.powers.take(first, axis=0)[:, None]
        sums = (arms @ turned.reshape(len(own), -1)).reshape(2, 4, -1)[:, :, :most]
        d = 1j * complex(math.cos(axis), math.sin(axis))
        plane = sums[:, :2] * np.array([[[d], [d.conjugate()]], [[1j * d], [(1j * d).conjugate()]]])
        force = moment = 0
        for x, radius, angle, mass in self.masses.tolist():
            turning = cmath.rect(mass * radius, angle)
            force += turning
            moment += (x - self.reference) * turning
        plane[0, 0, 0] += 1j * force
        plane[1, 0, 0] -= moment

        half = self.spectrum[:, 1 : most + 1]
        half[:4] = (COMPONENTS @ plane).reshape(4, most)
        half[4:] = sums[0, 2:]
        curves = np.empty((6, self.turns, n))
        np.multiply(scipy.fft.irfft(self.spectrum, n, norm="forward"), w2 / 2, out=curves[:, 0])
        for t in range(1, self.turns):
            curves[:, t] = curves[:, 0]
        return curves, plane[:, 0], plane[:, 1].conj(), sums[0, 2:]


# ---------------------------------------------------------------- study


class Study:
    """Four-stroke vees of equal cylinders over bank angles, phasings of their throws and all firing orders: what package search
    turns without reading the engine anew."""

    def __init__(self, path):
        rows = read(path)
        one = {k: [float(v) for v in row[0]] for k, row in rows.items() if k != "name"}
        self.radius, self.unbalance = one["crank"]
        self.length, self.rod, self.cg = one["rod"]
        self.piston, self.factor, self.speed = one["piston"][0], one["weights"][0], one["speed"][0]
        self.throws, self.spacing, self.stagger = int(one["places"][0]), *one["places"][1:]
        self.banks, self.pins = np.array(one["banks"]), np.arange(0, 360, one["step"][0])

    def arrays(self):
        """Of every candidate that can fire: bank angle, pins, firing order; force of orders 1 and 2, moment of them, evenness."""
        b, m = len(self.banks), len(self.pins) ** (self.throws - 1)
        steps = np.stack(np.meshgrid(*[self.pins] * (self.throws - 1), indexing="ij")).reshape(self.throws - 1, m)
        pins = np.concatenate([np.zeros((1, m)), steps])  # by throw [deg]
        inertia = self.inertia(np.radians(pins))
        number, evenness, can = self.firing(pins)
        at, which = np.nonzero(can)
        bank, pin = at // m, at % m
        columns = [self.banks[bank], *pins[:, pin], number[at, which], *(f.ravel()[at] for f in inertia), evenness[at, which]]
        return np.array(columns)

    def inertia(self, pins):
        """Largest free force of orders 1 and 2, largest free moment of them, by bank angle and phasing."""
        turn = 2 * np.pi * np.arange(64) / 64
        place = self.radius * np.cos(turn) + np.sqrt(self.length**2 - (self.radius * np.sin(turn)) ** 2)
        amplitude = 2 * np.fft.rfft(place).real / 64
        sliding = self.piston + self.rod * self.cg / self.length
        turning = self.rod * (1 - self.cg / self.length) * self.radius
        w2 = (self.speed * np.pi / 30) ** 2
        beta = np.radians(self.banks)[:, None] * np.array([-0.5, 0.5])
        x = (np.arange(self.throws) - (self.throws - 1) / 2) * self.spacing
        arm = x[:, None] + np.array([-0.5, 0.5]) * self.stagger
        figures = []
        for n in (1, 2):
            # a cylinder at crank angle zero of its throw, then those of a throw; counterweights are the pins' own
            half = 0.5 * n * n * w2 * sliding * amplitude[n]
            forward, backward = half * np.exp(1j * (1 - n) * beta), half * np.exp(1j * (1 + n) * beta)
            own = 0.0
            if n == 1:
                forward = forward + w2 * turning
                weight = self.unbalance + 2 * (turning + self.factor * sliding * self.radius) if self.factor >= 0 else 0.0
                own = w2 * (self.unbalance - weight)
            spin = np.exp(1j * n * pins)
            back = spin.conj()
            force = [forward.sum(axis=1)[:, None] + own, backward.sum(axis=1)[:, None]]
            moment = [forward @ arm.T + own * x, backward @ arm.T]
            figures.append((size(force[0] * spin.sum(axis=0)) + size(force[1] * back.sum(axis=0)), size(moment[0] @ spin) + size(moment[1] @ back)))
        return [figures[0][0], figures[1][0], figures[0][1], figures[1][1]]

    def firing(self, pins):
        """By candidate, bank angles before phasings, and schedule: order of firing as a number, evenness, whether it can be.

        Angles are in degrees, counted from the first cylinder, so that what fires at once is equal; a schedule is a set of
        places, in the sequence of top dead centres, that fire in the second revolution."""
        n = 2 * self.throws
        top = np.concatenate([side * self.banks[:, None, None] - pins.T for side in (0, 1)], axis=2)
        top = np.round(top.reshape(-1, n)[:, 1:] % 360, 9) % 360
        who = np.argsort(top, axis=1, kind="stable")
        top = np.concatenate([np.zeros((len(top), 1)), np.take_along_axis(top, who, axis=1)], axis=1).T.copy()
        who = np.concatenate([np.ones((len(who), 1), int), who + 2], axis=1).T.copy()
        digits = 10 ** np.arange(n - 1, -1, -1)
        late = list(itertools.product((0, 1), repeat=n - 1))
        number = np.empty((len(late), top.shape[1]))
        squares, together = np.empty(number.shape), np.empty(number.shape, int)
        alike = {}
        for k, second in enumerate(late):
            sequence = sorted(range(n), key=lambda p: ((0, *second)[p], p))
            alike.setdefault(tuple(sequence), []).append(k)
            times = [top[p] + 360 * (0, *second)[p] for p in sequence]
            gaps = [b - a for a, b in zip(times, times[1:] + [times[0] + 720])]
            squares[k] = sum(g * g for g in gaps)
            together[k] = sum((g == 0).astype(int) for g in gaps)
            number[k] = sum(d * who[p] for d, p in zip(digits, sequence))
        can = together == together.min(axis=0)
        for same in alike.values():  # a firing order names the most even one
            if len(same) > 1:
                best = np.where(can[same], squares[same], np.inf).argmin(axis=0)
                for i, k in enumerate(same):
                    can[k] &= best == i
        return number.T, np.minimum(1, 720**2 / (n * squares)).T, can.T


def size(c):
    return np.sqrt(c.real**2 + c.imag**2)


# ---------------------------------------------------------------- shaft and mounts


class Vibration:
    """Modes of a pair K, J and the answer x of K(1 + i loss) + iwC - w2 J to loads F at frequencies w; what is carried is read
    off as a product of x and a matrix that may depend on w."""

    def stacked(self):
        x = np.linalg.solve(self.matrices(), self.loads[:, :, None])[:, :, 0]
        return self.carried(x)

    def each(self):
        x = np.array([scipy.linalg.solve(a, f, check_finite=False) for a, f in zip(self.matrices(), self.loads)])
        return self.carried(x)


class Shaft(Vibration):
    def __init__(self, path):
        rows = read(path)
        self.discs, self.spans = table(rows["disc"]).T, table(rows["span"]).T
        n, orders, speeds = self.discs.shape[1], int(rows["orders"][0][0]), table(rows["speed"])[:, 0]
        a, b = self.spans[0].astype(int), self.spans[1].astype(int)
        self.between = np.zeros((len(a), n))
        self.between[np.arange(len(a)), a], self.between[np.arange(len(a)), b] = 1, -1
        gas, inertia = np.zeros((2, orders, n), complex)
        for d, k, gr, gi, ir, ii in table(rows["torque"]):
            gas[int(k) - 1, int(d)], inertia[int(k) - 1, int(d)] = complex(gr, gi), complex(ir, ii)
        self.w = (np.arange(1, orders + 1) * speeds[:, None] / 2).ravel()
        self.loads = (gas + speeds[:, None, None] ** 2 * inertia).reshape(-1, n)

    def modes(self):
        """Frequencies, then shapes whose largest twist is 1."""
        inertia, _, ground = self.discs
        stiffness = (self.between.T * self.spans[2]) @ self.between + np.diag(ground)
        values, vectors = scipy.linalg.eigh(stiffness, np.diag(inertia), check_finite=False)
        largest = vectors[np.abs(vectors).argmax(axis=0), np.arange(len(values))]
        return np.concatenate([np.sqrt(np.maximum(0, values)), (vectors / largest).T.ravel()])

    def matrices(self):
        inertia, damping, ground = self.discs
        _, _, k, c, loss = self.spans
        still = (self.between.T * (k * (1 + 1j * loss))) @ self.between + np.diag(ground)
        damped = 1j * ((self.between.T * c) @ self.between + np.diag(damping))
        w = self.w[:, None, None]
        return still + w * damped - w**2 * np.diag(inertia)

    def carried(self, x):
        """Twists of all discs, then torques of all spans, by speed and order."""
        _, _, k, c, loss = self.spans
        torque = (k * (1 + 1j * loss) + 1j * c * self.w[:, None]) * (x @ self.between.T)
        return np.concatenate([x.ravel(), torque.ravel()]).view(float)


class Mounts(Vibration):
    def __init__(self, path):
        rows = read(path)
        self.mass, *rest = table(rows["body"])[0]
        self.centre, (xx, yy, zz, xy, xz, yz) = np.array(rest[:3]), rest[3:]
        self.inertia = np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]])
        mounts = table(rows["mount"])
        self.at, self.axes, self.stiffness, self.loss = mounts[:, :3], mounts[:, 3:12].reshape(-1, 3, 3), mounts[:, 12:15], mounts[:, 15]
        loads = table(rows["load"])
        self.w, self.loads = loads[:, 0], loads[:, 1::2] + 1j * loads[:, 2::2]

    def parts(self):
        """Mass matrix, how each mount moves along its axes with the body, complex stiffness along them."""
        mass = np.zeros((6, 6))
        mass[[0, 1, 2], [0, 1, 2]] = self.mass
        mass[3:, 3:] = self.inertia
        arms = np.cross((self.at - self.centre)[:, None, :], self.axes)
        moves = np.concatenate([self.axes, arms], axis=2).reshape(-1, 6)
        return mass, moves, (self.stiffness * (1 + 1j * self.loss[:, None])).ravel()

    def modes(self):
        """Frequencies, then shapes of modal mass 1."""
        mass, moves, stiffness = self.parts()
        values, vectors = scipy.linalg.eigh((moves.T * stiffness.real) @ moves, mass, check_finite=False)
        return np.concatenate([np.sqrt(np.maximum(0, values)), vectors.T.ravel()])

    def matrices(self):
        mass, moves, stiffness = self.parts()
        return (moves.T * stiffness) @ moves - self.w[:, None, None] ** 2 * mass

    def carried(self, x):
        """Force of every mount along x, y, z, by load."""
        _, moves, stiffness = self.parts()
        along = (x @ moves.T * stiffness).reshape(len(x), -1, 1, 3)
        return (along @ self.axes).ravel().view(float)


def numbers(found):
    """What an evaluation has found, one behind the other."""
    if not isinstance(found, tuple):
        return np.asarray(found, float).ravel()
    curves, with_crank, against, scalars = found
    by_order = np.array([with_crank[0], against[0], with_crank[1], against[1], *scalars]).T
    return np.concatenate([curves.ravel(), by_order.ravel().view(float)])


def main(kind, path):
    subject = {"engine": Engine, "study": Study, "shaft": Shaft, "mounts": Mounts}[kind](path)
    for line in sys.stdin:
        word, way, *count = line.split()
        evaluate = getattr(subject, way)
        if word == "give":
            print(*map(repr, numbers(evaluate()).tolist()), flush=True)
            continue
        start = time.process_time()
        for _ in range(int(count[0])):
            evaluate()
        print(repr(time.process_time() - start), flush=True)


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("usage: yard.py engine|study|shaft|mounts INPUT.txt")
    main(*sys.argv[1:])
