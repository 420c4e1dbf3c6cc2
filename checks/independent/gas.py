#!/usr/bin/env python3
"""One cylinder's steady cycle by SciPy's solver of ordinary differential equations.

    gas.py INPUT.txt > RAW.txt

The equations are written anew, in other variables than ours: the energy of the gas, its mass and the share that has
burned; the temperature follows from the energy by Newton's method. A cycle begins where the last valve closes, the
solver chooses its own steps, and cycles are repeated until one ends as it began. The input is explained in README.md.
"""

import math
import platform
import sys

import numpy as np
import scipy
from scipy.integrate import solve_ivp

R = 287.0  # J/(kg K)
RTOL, SETTLED = 1e-10, 1e-10
DELTA = 0.005  # share of pressure below which the flow bends to a line


def read(path):
    given = {}
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if words:
                given.setdefault(words[0], []).append([float(w) if i or w[0] in "-0123456789" else w for i, w in enumerate(words[1:])])
    return given


def polynomials(T):
    a = 692 * T + 39.17e-3 * T**2 + 52.9e-6 * T**3 - 228.62e-10 * T**4 + 277.58e-14 * T**5
    b = -57 * T - 95e-3 * T**2 + 21.53e-6 * T**3 - 200.26e-11 * T**4
    return a, b


A0, B0 = polynomials(298.15)


def energy(T, phi):
    """u [J/kg]."""
    a, b = polynomials(T)
    return (a - A0 - phi * (b - B0)) / (1 + phi / 15.1)


def heat_capacity(T, phi):
    """c_v [J/(kg K)]."""
    a = 692 + 2 * 39.17e-3 * T + 3 * 52.9e-6 * T**2 - 4 * 228.62e-10 * T**3 + 5 * 277.58e-14 * T**4
    b = -57 - 2 * 95e-3 * T + 3 * 21.53e-6 * T**2 - 4 * 200.26e-11 * T**3
    return (a - phi * b) / (1 + phi / 15.1)


def nozzle(area, p1, T1, kappa, p2):
    """Mass flow [kg/s] from p1 to p2 <= p1."""
    drop = 1 - p2 / p1
    if drop <= 0:
        return 0.0
    ratio = max(p2 / p1, (2 / (kappa + 1)) ** (kappa / (kappa - 1)))
    psi = math.sqrt(2 * kappa / (kappa - 1) * max(0.0, ratio ** (2 / kappa) - ratio ** ((kappa + 1) / kappa)))
    z = drop / DELTA
    if z < 1:
        psi *= math.sqrt(z) * (5 - z * z) / 4
    return area * p1 / math.sqrt(R * T1) * psi


class Cylinder:
    def __init__(self, given):
        one = {key: rows[0] for key, rows in given.items()}
        self.radius, self.length, self.offset = one["linkage"]
        self.bore, self.ratio = one["chamber"]
        self.period = 2 * math.pi * one["cycle"][0]
        self.speed = one["speed"][0]
        self.p_in, self.T_in = one["intake"]
        self.p_ex = one["exhaust"][0]
        self.wall, self.factor = one["wall"]
        self.valves = {row[0]: row[1:] for row in given["valve"]}
        self.release = given.get("release", [])
        self.fires = bool(self.release)
        self.air_ratio, self.heating_value, self.air, self.premixed = one.get("fuel", [1, 0, 1, 1])
        self.samples = int(one["samples"][0])

        r, l, e = self.radius, self.length, self.offset
        self.top = math.asin(e / (r + l))
        self.out = math.sqrt((r + l) ** 2 - e * e)
        self.stroke = self.out - math.sqrt((l - r) ** 2 - e * e)
        self.area = math.pi / 4 * self.bore**2
        self.swept = self.area * self.stroke
        self.least = self.swept / (self.ratio - 1)
        self.piston_speed = self.stroke * self.speed / math.pi
        # the closed time about firing top dead centre
        self.closes, self.opens = -self.period, self.period
        for opens, closes, _ in self.valves.values():
            begin = opens % self.period
            self.closes = max(self.closes, begin + closes - opens - self.period)
            self.opens = min(self.opens, begin)
        self.phi = min(1.0, 1 / self.air_ratio) if self.fires else 0.0
        self.start = min(row[1] for row in self.release) if self.fires else math.inf

    def volume(self, theta):
        a = self.top + theta
        across = self.radius * math.sin(a) - self.offset
        rod = math.sqrt(self.length**2 - across**2)
        v = self.least + self.area * (self.out - self.radius * math.cos(a) - rod)
        return v, self.area * (self.radius * math.sin(a) + across * self.radius * math.cos(a) / rod)

    def opening(self, name, theta):
        opens, closes, most = self.valves[name]
        z = ((theta - opens) % self.period) / (closes - opens)
        return most * math.sin(math.pi * z) ** 2 if z < 1 else 0.0

    def rate(self, theta, low, high):
        """dx/dtheta of the parts that burn all through the segment from low to high."""
        total = 0.0
        for share, start, lasts, a, m in self.release:
            if start <= low + 1e-9 and high <= start + lasts + 1e-9:
                z = min(1.0, max(0.0, (theta - start) / lasts))
                total += share * a * (m + 1) / lasts * z**m * math.exp(-a * z ** (m + 1))
        return total

    def temperature(self, u, phi):
        T = self.last
        for _ in range(50):
            step = (energy(T, phi) - u) / heat_capacity(T, phi)
            T -= step
            if abs(step) < 1e-11 * T:
                break
        self.last = T
        return T

    def state(self, theta, y):
        phi = self.phi * min(1.0, max(0.0, y[2]))
        T = self.temperature(y[0] / y[1], phi)
        v, dv = self.volume(theta)
        return T, y[1] * R * T / v, v, dv, phi

    def slopes(self, theta, y, low, high):
        """Derivatives of U, m, b, work, heat to the walls, mass out, its T and its b."""
        T, p, v, dv, phi = self.state(theta, y)
        m, b = y[1], y[2]
        dU, dm, db, gone, gone_T, gone_b = -p * dv, 0.0, 0.0, 0.0, 0.0, 0.0
        is_open = high > self.opens + 1e-9
        if self.release:
            rate = self.rate(theta, low, high)
            dU += self.released * rate
            db += self.burnable * rate
            if not self.premixed:
                dm += self.fuel * rate
        w = (6.18 if is_open else 2.28) * self.piston_speed
        if not is_open and low > self.start - 1e-9:
            motored = self.p_r * (self.V_r / v) ** 1.33
            w += 3.24e-3 * self.swept * self.T_r / (self.p_r * self.V_r) * max(0.0, p - motored)
        h = self.factor * 3.26 * self.bore**-0.2 * (p / 1000) ** 0.8 * T**-0.55 * w**0.8
        surface = 2 * self.area + 4 * v / self.bore
        lost = h * surface * (T - self.wall) / self.speed
        dU -= lost
        if is_open:
            kappa = 1 + R / heat_capacity(T, phi)
            enthalpy = y[0] / m + R * T
            area = self.opening("intake", theta)
            if p <= self.p_in:
                flow = nozzle(area, self.p_in, self.T_in, 1 + R / heat_capacity(self.T_in, 0), p) / self.speed
                dU += flow * (energy(self.T_in, 0) + R * self.T_in)
                dm += flow
                db -= b * flow / m
            else:
                flow = nozzle(area, p, T, kappa, self.p_in) / self.speed
                dU -= flow * enthalpy
                dm -= flow
            area = self.opening("exhaust", theta)
            if p < self.p_ex:
                T_ex, b_ex = self.manifold
                phi_ex = self.phi * b_ex
                flow = nozzle(area, self.p_ex, T_ex, 1 + R / heat_capacity(T_ex, phi_ex), p) / self.speed
                dU += flow * (energy(T_ex, phi_ex) + R * T_ex)
                dm += flow
                db += (b_ex - b) * flow / m
            else:
                flow = nozzle(area, p, T, kappa, self.p_ex) / self.speed
                dU -= flow * enthalpy
                dm -= flow
                gone, gone_T, gone_b = flow, flow * T, flow * b
        return [dU, dm, db, p * dv, lost, gone, gone_T, gone_b]

    def cycle(self, start, rtol):
        """From the closing of the last valve to the next: the end and the samples (theta, p, T)."""
        begin, end = self.closes, self.closes + self.period
        cuts = {begin, end, self.opens}
        for opens, closes, _ in self.valves.values():
            cuts |= {(angle - begin) % self.period + begin for angle in (opens, closes)}
        for _, at, lasts, _, _ in self.release:
            cuts |= {at, at + lasts}
        cuts = sorted(c for c in cuts if begin <= c <= end)
        cuts = [c for i, c in enumerate(cuts) if i == 0 or c - cuts[i - 1] > 1e-9]
        cuts[-1] = end
        step = self.period / self.samples
        angles = step * np.arange(math.ceil(begin / step - 1e-9), math.floor(end / step + 1e-9) + 1)[: self.samples]
        y = np.array([*start, 0, 0, 0, 0, 0], dtype=float)
        self.last = 400.0
        T, p, v, _, _ = self.state(begin, y)
        self.p_r, self.T_r, self.V_r = p, T, v
        scale = abs(y[0]) + y[1] * 2e5
        atol = rtol * np.array([scale, y[1], 1, scale, scale, y[1], 1000 * y[1], y[1]])
        samples, self.trapped = [], y[1]
        for low, high in zip(cuts, cuts[1:]):
            if self.fires and abs(low - self.start) < 1e-9:
                fresh = y[1] * (1 - y[2])
                self.fuel = fresh / (1 + self.air_ratio * self.air) if self.premixed else fresh / (self.air_ratio * self.air)
                self.released = self.fuel * self.heating_value * min(1.0, self.air_ratio)
                self.burnable, self.trapped = 1 - y[2], y[1]
            inside = angles[(angles >= low - 1e-12) & (angles < high - 1e-9)]
            found = solve_ivp(self.slopes, (low, high), y, method="DOP853", rtol=rtol, atol=atol, args=(low, high),
                              t_eval=np.append(np.clip(inside, low, high), high), max_step=math.radians(4))
            assert found.success, found.message
            for theta, column in zip(inside, found.y.T):
                T, p, _, _, _ = self.state(theta, column)
                samples.append((theta % self.period, p, T))
            y = found.y[:, -1]
        return y, sorted(samples)

    def steady(self):
        """Cycles until one ends as it began."""
        self.fuel = self.released = self.burnable = 0.0
        v, _ = self.volume(self.closes)
        b = 0.1 if self.fires else 0.0
        m = self.p_in * v / (R * self.T_in)
        state = np.array([m * energy(self.T_in, self.phi * b), m, b])
        self.manifold = (900.0, 1.0) if self.fires else (self.T_in, 0.0)
        for n in range(1, 100):
            rtol = RTOL if n > 6 else 1e-6
            y, samples = self.cycle(state, rtol)
            manifold = (y[6] / y[5], y[7] / y[5])
            change = max(abs(y[0] - state[0]) / (abs(state[0]) + m * 1e4), abs(y[1] / state[1] - 1), abs(y[2] - state[2]),
                         abs(manifold[0] / self.manifold[0] - 1), abs(manifold[1] - self.manifold[1]))
            if rtol == RTOL and change < 100 * SETTLED:
                return y, samples, n, change
            state, self.manifold = y[:3], manifold
        raise SystemExit("gas.py: no steady cycle")


def main(path):
    given = read(path)
    c = Cylinder(given)
    y, samples, cycles, change = c.steady()
    assert len(samples) == c.samples, (len(samples), c.samples)
    print("# cycle:", given["name"][0][0])
    print("# command: gas.py", path)
    print(f"# library: Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}")
    print(f"# settings: solve_ivp DOP853, rtol {RTOL}, segments between events; steady after {cycles} cycles")
    print(f"# tolerance: the last cycle changed its beginning by {change:.2g}")
    print("# columns: angle_rad pressure_Pa temperature_K")
    for name, value in (("work_J", y[3]), ("wall_J", y[4]), ("trapped_kg", c.trapped), ("exhaust_K", y[6] / y[5])):
        print(name, repr(float(value)))
    for theta, p, T in samples:
        print(" ".join(repr(float(x)) for x in (theta, p, T)))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: gas.py INPUT.txt > RAW.txt")
    main(sys.argv[1])
