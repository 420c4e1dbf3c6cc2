#!/usr/bin/env python3
"""Natural frequencies of a body on mounts and the force into each of them, by SciPy's dense solvers.

    mounts.py INPUT.txt > RAW.txt

Builds mass and stiffness from the mounts one by one by the motion of their two ends (a column of the stiffness is the
force and moment that a unit motion causes, not a product of matrices), solves scipy.linalg.eigh of the pair K, M and the
full complex equations at each frequency. The input is explained in README.md.
"""

import platform
import sys

import numpy as np
import scipy
import scipy.linalg


def main(path):
    body, mounts, loads, name = {}, [], [], ""
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if not words:
                continue
            item, values = words[0], words[1:]
            if item == "name":
                name = values[0]
            elif item == "body":
                v = [float(x) for x in values]
                xx, yy, zz, xy, xz, yz = v[4:]
                body = {"m": v[0], "c": np.array(v[1:4]), "J": np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]])}
            elif item == "mount":
                v = [float(x) for x in values]
                mounts.append({"at": np.array(v[:3]), "axes": np.array(v[3:12]).reshape(3, 3), "k": v[12:15], "loss": v[15]})
            elif item == "load":
                loads.append([float(x) for x in values])
            else:
                raise SystemExit(f"mounts.py: {item} is not known")
    M = np.zeros((6, 6))
    M[:3, :3] = body["m"] * np.eye(3)
    M[3:, 3:] = body["J"]

    def pushes(q, complexes):
        """Force of each mount on the structure for a small motion of the body."""
        out = []
        for m in mounts:
            move = q[:3] + np.cross(q[3:], m["at"] - body["c"])
            f = np.zeros(3, dtype=complex)
            for axis, k in zip(m["axes"], m["k"]):
                f = f + axis * (axis @ move) * k * (1 + (1j * m["loss"] if complexes else 0))
            out.append(f)
        return out

    def stiffness(complexes):
        K = np.zeros((6, 6), dtype=complex)
        for j in range(6):
            unit = np.zeros(6)
            unit[j] = 1
            for m, f in zip(mounts, pushes(unit, complexes)):
                K[:3, j] += f
                K[3:, j] += np.cross(m["at"] - body["c"], f)
        return K

    values = scipy.linalg.eigh(stiffness(False).real, M, eigvals_only=True)
    print("# mounts:", name)
    print("# command: mounts.py", path)
    print(f"# library: Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}")
    print("# settings: eigh(K, M), solve of the dense complex matrix")
    print("# tolerance: rounding of double precision")
    print("# lines: mode index rad/s | force load mount x y z as re im")
    for i, v in enumerate(values):
        print("mode", i, repr(float(np.sqrt(max(0.0, v)))))
    K = stiffness(True)
    for n, l in enumerate(loads):
        w = l[0]
        F = np.array([complex(l[1 + 2 * i], l[2 + 2 * i]) for i in range(6)])
        q = scipy.linalg.solve(K - w**2 * M, F)
        for i, f in enumerate(pushes(q, True)):
            print("force", n, i, *(repr(float(x)) for c in f for x in (c.real, c.imag)))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: mounts.py INPUT.txt > RAW.txt")
    main(sys.argv[1])
