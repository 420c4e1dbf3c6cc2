#!/usr/bin/env python3
"""How often each alternative takes each rank over all weights, exactly: as volumes of polyhedra.

    choices.py INPUT.txt > RAW.txt

Nothing is drawn. For every sequence of the alternatives the weights with which it is the ranking are a polyhedron: that of
all weights, cut by one plane for each neighbouring pair. A linear programme finds a point inside
(scipy.optimize.linprog), scipy.spatial.HalfspaceIntersection the corners, scipy.spatial.Delaunay simplices that fill it.
Their volumes make the shares, their first and second moments the mean and the scatter of the weights with which an
alternative is first. The input is explained in README.md.
"""

import itertools
import math
import platform
import sys

import numpy as np
import scipy
from scipy.optimize import linprog
from scipy.spatial import Delaunay, HalfspaceIntersection


def read(path):
    p = {"name": "", "criteria": [], "aims": [], "ranges": [], "rows": []}
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if not words:
                continue
            item, values = words[0], words[1:]
            if item == "name":
                p["name"] = values[0]
            elif item == "criterion":
                v = np.array([float(x) for x in values]).reshape(-1, 2)
                p["criteria"].append((v[:, 0], v[:, 1]))
            elif item == "aim":
                v = [float(x) for x in values]
                p["aims"].append([(int(v[i]), v[i + 1]) for i in range(0, len(v), 2)])
            elif item == "range":
                p["ranges"].append((float(values[0]), float(values[1])))
            elif item == "alternative":
                p["rows"].append([float(x) for x in values])
            else:
                raise SystemExit(f"choices.py: {item} is not known")
    return p


def worths(p):
    """What each alternative is worth by each aim."""
    table = []
    for row in p["rows"]:
        each = [np.interp(x, at, worth) for x, (at, worth) in zip(row, p["criteria"])]
        table.append([sum(s * each[c] for c, s in aim) / sum(s for _, s in aim) for aim in p["aims"]])
    return np.array(table)


def space(p):
    """Weights w = base + spans·x, and the half spaces A x + b ≤ 0 in which x lies."""
    n = len(p["aims"])
    if not p["ranges"]:  # all weights that there are, the last one what is left of 1
        spans = np.vstack([np.eye(n - 1), -np.ones((1, n - 1))])
        base = np.append(np.zeros(n - 1), 1.0)
    else:  # within the ranges; what has no width is no variable
        wide = [k for k, (low, high) in enumerate(p["ranges"]) if high > low]
        spans = np.zeros((n, len(wide)))
        base = np.array([low for low, _ in p["ranges"]])
        for j, k in enumerate(wide):
            spans[k, j] = p["ranges"][k][1] - p["ranges"][k][0]
    d = spans.shape[1]
    walls = [np.append(row, 0.0) for row in -np.eye(d)]
    if not p["ranges"]:
        walls.append(np.append(np.ones(d), -1.0))
    else:
        walls += [np.append(row, -1.0) for row in np.eye(d)]
    return base, spans, walls


def moments(halfspaces):
    """Volume, first and second moments of x over a polyhedron."""
    h = np.array(halfspaces)
    d = h.shape[1] - 1
    norms = np.linalg.norm(h[:, :-1], axis=1)
    if np.any((norms < 1e-14) & (h[:, -1] > 1e-14)):
        return 0.0, np.zeros(d), np.zeros((d, d))
    h = h[norms >= 1e-14]
    norms = norms[norms >= 1e-14]
    c = np.append(np.zeros(d), -1.0)
    inside = linprog(c, A_ub=np.column_stack([h[:, :-1], norms]), b_ub=-h[:, -1], bounds=[(None, None)] * d + [(0, None)])
    if inside.status != 0 or inside.x[-1] < 1e-9:
        return 0.0, np.zeros(d), np.zeros((d, d))
    corners = HalfspaceIntersection(h, inside.x[:-1]).intersections
    volume, first, second = 0.0, np.zeros(d), np.zeros((d, d))
    for simplex in Delaunay(corners, qhull_options="QJ Qbb Qc" if d > 3 else "Qbb Qc Qz Qx").simplices:
        v = corners[simplex]
        part = abs(np.linalg.det(v[1:] - v[0])) / math.factorial(d)
        total = v.sum(axis=0)
        volume += part
        first += part * total / (d + 1)
        second += part * (v.T @ v + np.outer(total, total)) / ((d + 1) * (d + 2))
    return volume, first, second


def main(path):
    p = read(path)
    u = worths(p)
    n, aims = u.shape
    base, spans, walls = space(p)

    def ahead(i, j):
        """The half space in which i is worth at least as much as j."""
        apart = u[j] - u[i]
        return np.append(apart @ spans, apart @ base)

    whole = moments(walls)[0]
    d = spans.shape[1]
    rank, beats = np.zeros((n, n)), np.zeros((n, n))
    firsts = [[0.0, np.zeros(d), np.zeros((d, d))] for _ in range(n)]
    for order in itertools.permutations(range(n)):
        volume, first, second = moments(walls + [ahead(a, b) for a, b in zip(order, order[1:])])
        if volume == 0:
            continue
        for place, i in enumerate(order):
            rank[i, place] += volume / whole
            for j in order[place + 1 :]:
                beats[i, j] += volume / whole
        f = firsts[order[0]]
        f[0] += volume
        f[1] += first
        f[2] += second

    print("# choice:", p["name"])
    print("# command: choices.py", path)
    print(f"# library: Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}")
    print(f"# settings: exact volumes in {d} dimensions, {math.factorial(n)} sequences")
    print(f"# tolerance: the shares of all sequences sum to 1 {rank[:, 0].sum() - 1:+.1e}")
    print("# lines: rank alternative rank share | beats alternative other share | central alternative aim mean deviation")
    for i in range(n):
        for r in range(n):
            print("rank", i, r, repr(float(rank[i, r])))
    for i in range(n):
        for j in range(n):
            if i != j:
                print("beats", i, j, repr(float(beats[i, j])))
    if p["ranges"]:
        return  # drawn weights are normalised, so their mean is no centroid
    for i, (volume, first, second) in enumerate(firsts):
        if volume < 1e-12:
            continue
        mean = first / volume
        spread = spans @ (second / volume - np.outer(mean, mean)) @ spans.T
        for k, w in enumerate(base + spans @ mean):
            print("central", i, k, repr(float(w)), repr(float(np.sqrt(max(0.0, spread[k, k])))))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: choices.py INPUT.txt > RAW.txt")
    main(sys.argv[1])
