#!/usr/bin/env python3
"""How a stepped beam on springs shares its loads, by finite elements and SciPy's sparse solver.

    beams.py INPUT.txt > RAW.txt

Reads sections (from, to, flexural stiffness), supports (place, compliance) and loads (place); writes the share of every
support in a unit load at every place: spring force of the deflection of cubic beam elements, which are exact for such a
beam where a node stands at every step, support and load. The input is explained in README.md.
"""

import platform
import sys

import numpy as np
import scipy
import scipy.sparse
import scipy.sparse.linalg


def main(path):
    sections, supports, loads, name = [], [], [], ""
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if not words:
                continue
            item, values = words[0], words[1:]
            if item == "name":
                name = values[0]
            elif item == "section":
                sections.append([float(v) for v in values])
            elif item == "support":
                supports.append([float(v) for v in values])
            elif item == "load":
                loads.append(float(values[0]))
            else:
                raise SystemExit(f"beams.py: {item} is not known")
    at = sorted({x for s in sections for x in s[:2]} | {s[0] for s in supports} | set(loads))
    nodes = [at[0]]
    for x in at[1:]:
        if x - nodes[-1] > 1e-9:
            nodes.append(x)

    def node(x):
        return int(np.argmin([abs(x - v) for v in nodes]))

    k = scipy.sparse.lil_matrix((2 * len(nodes), 2 * len(nodes)))
    for i in range(len(nodes) - 1):
        l = nodes[i + 1] - nodes[i]
        mid = (nodes[i + 1] + nodes[i]) / 2
        inside = [s[2] for s in sections if s[0] <= mid <= s[1]]
        ei = inside[0] if inside else sections[0 if mid < sections[0][0] else -1][2]
        e = ei / l**3 * np.array([[12, 6 * l, -12, 6 * l], [6 * l, 4 * l * l, -6 * l, 2 * l * l],
                                  [-12, -6 * l, 12, -6 * l], [6 * l, 2 * l * l, -6 * l, 4 * l * l]])
        for a in range(4):
            for b in range(4):
                k[2 * i + a, 2 * i + b] += e[a, b]
    for x, f in supports:
        k[2 * node(x), 2 * node(x)] += 1 / f
    solve = scipy.sparse.linalg.splu(k.tocsc())
    print("# beam:", name)
    print("# command: beams.py", path)
    print(f"# library: Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}")
    print(f"# settings: {len(nodes) - 1} cubic elements, sparse LU")
    print("# lines: share SUPPORT LOAD value")
    for j, x in enumerate(loads):
        p = np.zeros(2 * len(nodes))
        p[2 * node(x)] = 1
        w = solve.solve(p)
        for i, (s, f) in enumerate(supports):
            print("share", i, j, repr(float(w[2 * node(s)] / f)))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        raise SystemExit(__doc__)
    main(sys.argv[1])
