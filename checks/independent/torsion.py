#!/usr/bin/env python3
"""Natural modes and forced vibration of a shaft by SciPy's dense solvers.

    torsion.py INPUT.txt > RAW.txt

Reads discs, spans and torques by order; writes natural frequencies and modes (scipy.linalg.eigh of the pair K, J),
the twist of every disc in every order (scipy.linalg.solve of the full complex matrix), and half the range of the torque
in every span over the cycle, from samples of the sum. The input is explained in README.md.
"""

import platform
import sys

import numpy as np
import scipy
import scipy.linalg

SAMPLES = 20000


def main(path):
    discs, spans, torques, speeds, name, orders = [], [], {}, [], "", 0
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if not words:
                continue
            item, values = words[0], words[1:]
            if item == "name":
                name = values[0]
            elif item == "orders":
                orders = int(values[0])
            elif item == "disc":
                discs.append([float(v) for v in values])
            elif item == "span":
                spans.append((int(values[0]), int(values[1]), *(float(v) for v in values[2:])))
            elif item == "torque":
                gr, gi, ir, ii = (float(v) for v in values[2:])
                torques[int(values[0]), int(values[1])] = (complex(gr, gi), complex(ir, ii))
            elif item == "speed":
                speeds.append(float(values[0]))
            else:
                raise SystemExit(f"torsion.py: {item} is not known")
    n = len(discs)
    J = np.diag([d[0] for d in discs])
    C = np.diag([d[1] for d in discs]).astype(complex)
    K = np.diag([d[2] for d in discs])
    H = np.zeros((n, n))
    for a, b, k, c, loss in spans:
        e = np.zeros(n)
        e[a], e[b] = 1, -1
        E = np.outer(e, e)
        K += k * E
        C += c * E
        H += k * loss * E
    values, vectors = scipy.linalg.eigh(K, J)
    print("# shaft:", name)
    print("# command: torsion.py", path)
    print(f"# library: Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}")
    print(f"# settings: eigh(K, J), solve of the dense complex matrix, {SAMPLES} samples over two revolutions")
    worst = np.abs(K @ vectors - J @ vectors * values).max() / np.abs(K).max() / np.abs(vectors).max()
    print(f"# tolerance: largest residual of the modes {worst:.2g}")
    print("# lines: mode index rad/s shape | twist speed k disc re im | half speed span N_m")
    for i in range(n):
        shape = vectors[:, i] / vectors[np.argmax(np.abs(vectors[:, i])), i]
        print("mode", i, repr(float(np.sqrt(max(0.0, values[i])))), *(repr(float(v)) for v in shape))
    theta = 4 * np.pi * np.arange(SAMPLES) / SAMPLES
    for speed in speeds:
        carried = np.zeros((len(spans), SAMPLES))
        for k in range(1, orders + 1):
            w = k * speed / 2
            T = np.zeros(n, dtype=complex)
            for d in range(n):
                gas, inertia = torques.get((d, k), (0, 0))
                T[d] = gas + speed**2 * inertia
            x = scipy.linalg.solve(K + 1j * H + 1j * w * C - w**2 * J, T)
            for d in range(n):
                print("twist", repr(speed), k, d, repr(float(x[d].real)), repr(float(x[d].imag)))
            for i, (a, b, stiff, c, loss) in enumerate(spans):
                q = (stiff * (1 + 1j * loss) + 1j * w * c) * (x[a] - x[b])
                carried[i] += (q * np.exp(1j * k * theta / 2)).real
        for i in range(len(spans)):
            print("half", repr(speed), i, repr(float(carried[i].max() - carried[i].min()) / 2))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: torsion.py INPUT.txt > RAW.txt")
    main(sys.argv[1])
