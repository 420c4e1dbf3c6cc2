#!/usr/bin/env python3
"""The path of a journal in a short bearing by SciPy's solver of stiff differential equations.

    films.py INPUT.txt > RAW.txt

Reads a short bearing, its oil, the speeds of journal and sleeve and the load over a cycle; at every instant finds the
velocity whose film force, Ocvirk's pressure integrated over the half of the ring where it is positive, carries the load; and
writes the eccentricity over the last cycle. No mobility and no closed form. The input is explained in README.md.
"""

import platform
import sys

import numpy as np
import scipy
import scipy.integrate
import scipy.optimize

POINTS, CYCLES = 48, 2
NODES, WEIGHTS = np.polynomial.legendre.leggauss(POINTS)
HALF = NODES * np.pi / 2  # the half ring into which the journal moves
BY = WEIGHTS * np.pi / 2


def film(gamma, ecc):
    """Force that carries, of a velocity of size 1 in a direction, over mu L^3 R/c^2."""
    u = np.exp(1j * (gamma + HALF))
    h = 1 - (ecc.real * u.real + ecc.imag * u.imag)
    return np.sum(BY * np.cos(HALF) * u / h**3)


def velocity(ecc, load, gain):
    """The velocity without rotation at which the film carries a load."""
    size = abs(load)
    if size == 0:
        return 0
    toward = np.angle(load)

    def miss(gamma):
        return np.angle(film(gamma, ecc) * np.exp(-1j * toward))

    # the force never turns further from the velocity than a right angle
    gamma = scipy.optimize.brentq(miss, toward - 1.5707, toward + 1.5707, xtol=1e-11)
    return size * gain / abs(film(gamma, ecc)) * np.exp(1j * gamma)


def main(path):
    loads, spin, values, name = [], [], {}, ""
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if not words:
                continue
            item, rest = words[0], words[1:]
            if item == "name":
                name = rest[0]
            elif item == "load":
                loads.append(complex(float(rest[0]), float(rest[1])))
                spin.append(float(rest[2]))
            else:
                values[item] = float(rest[0])
    n = len(loads)
    period = 2 * np.pi * values["turns"] / values["speed"]
    radius, width, clearance = values["diameter"] / 2, values["width"], values["clearance"]
    gain = clearance**2 / (values["viscosity"] * width**3 * radius)
    loads, spin = np.array(loads + loads[:1]), np.array(spin + spin[:1])

    def rate(t, y):
        at = (t / period * n) % n
        k = int(at)
        f = at - k
        load = loads[k] * (1 - f) + loads[k + 1] * f
        turning = spin[k] * (1 - f) + spin[k + 1] * f
        ecc = complex(y[0], y[1])
        size = abs(ecc)
        if size > 0.999:
            ecc *= 0.999 / size
        v = velocity(ecc, load, gain) + 1j * turning * ecc
        return [v.real, v.imag]

    y, rows = [0.3, 0.0], None
    for _ in range(CYCLES):
        found = scipy.integrate.solve_ivp(rate, (0, period), y, method="LSODA", rtol=1e-6, atol=1e-9, max_step=period / n,
                                          t_eval=np.append(np.arange(n) * period / n, period))
        if not found.success:
            raise SystemExit("films.py: " + found.message)
        rows, y = found.y, [found.y[0][-1], found.y[1][-1]]
    print("# film:", name)
    print("# command: films.py", path)
    print(f"# library: Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}")
    print(f"# settings: LSODA rtol 1e-6, {POINTS} Gauss points over the half ring, {CYCLES} cycles")
    print(f"# open: {np.hypot(rows[0][0] - rows[0][-1], rows[1][0] - rows[1][-1]):.1e} between the ends of the last cycle")
    print("# lines: ecc SAMPLE real imaginary")
    for k in range(n):
        print("ecc", k, repr(float(rows[0][k])), repr(float(rows[1][k])))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        raise SystemExit(__doc__)
    main(sys.argv[1])
