#!/usr/bin/env python3
"""Shaking force, moment, torque and roll of a crank train from nothing but positions.

    numeric.py INPUT.txt > RAW.txt

The loops are closed numerically: Newton's method on "the small end lies on the piston pin's path".
Everything else is central differences, eighth order, on a fine grid of crank angles:

    force    minus the second difference of the first moment of mass
    torque   minus the difference of the kinetic energy (of speeds that are differences themselves)
    roll     minus torque minus the difference of the angular momentum about the crank axis

No velocity or acceleration is ever written down as a formula. The input is explained in README.md.
"""

import math
import platform
import sys

import numpy as np
import scipy
from scipy.optimize import root_scalar

FINE = 4  # steps of the fine grid in one step of the output: 1.25 degrees
FIRST = [4 / 5, -1 / 5, 4 / 105, -1 / 280]  # central first difference, error h^8 f'''''''''/630


def read(path):
    """The items of a description, in order: [(item, words)]."""
    items = []
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split("#")[0].split()
            if words:
                items.append((words[0], words[1:]))
    return items


def radial(angle):
    """Unit vector y + iz at an angle from +z about +x."""
    return 1j * np.exp(1j * np.asarray(angle, dtype=float))


def slope(x, step):
    """Derivative of periodic samples by the crank angle, central differences along the last axis."""
    total = np.zeros_like(x)
    for k, weight in enumerate(FIRST, start=1):
        total += weight * (np.roll(x, -k, axis=-1) - np.roll(x, k, axis=-1))
    return total / step


def close_loop(pin, length, outward, offset):
    """Turning of a rod from its cylinder's axis, so that its small end lies on the pin's path."""
    across = outward * 1j

    def beside(turn, at):  # how far the small end stands beside the path
        return ((at + length * outward * np.exp(1j * turn)) * np.conj(across)).real - offset

    # the first angle by bracketing, the others by Newton from there, all at once
    first = root_scalar(lambda turn: beside(turn, pin[0]), bracket=(-1.5, 1.5), method="brentq").root
    turn = np.full(pin.shape, first)
    for _ in range(60):
        away = beside(turn, pin)
        turn = turn - away / (length * np.cos(turn))
    assert np.max(np.abs(beside(turn, pin))) < 1e-15 and np.max(np.abs(turn)) < 1.5
    return turn


class Part:
    """A rigid body: mass, centre of gravity and turning at each crank angle."""

    def __init__(self, x, mass, centre, inertia=0.0, turning=None):
        self.x, self.mass, self.centre, self.inertia = x, mass, centre, inertia
        self.turning = np.zeros(centre.shape) if turning is None else turning


def build(items, angle):
    """All moving parts at the crank angles, signed: negative angles turn clockwise."""
    parts, turning, axis, rods = [], {"crank": angle}, {"crank": 0j}, {}
    for item, words in items:
        name, numbers = words[0], [float(w) for w in words[1:] if not w[0].isalpha()]
        if item == "shaft":
            ratio, y, z = numbers
            turning[name], axis[name] = ratio * angle, y + 1j * z
        elif item == "mass":
            x, radius, place, mass = numbers
            parts.append(Part(x, mass, axis[name] + radius * radial(place + turning[name])))
        elif item == "rod":
            rods[name] = (words[1], *numbers)
        elif item == "piston":
            rod, (direction, offset, mass) = words[1], numbers
            carrier, x, radius, place, length, rod_mass, cg, inertia = rods[rod]
            origin = 0j if carrier == "crank" else rods[carrier + ".big"]
            pin = origin + radius * radial(place + turning[carrier])
            outward = radial(direction)
            turn = close_loop(pin, length, outward, offset)
            along = outward * np.exp(1j * turn)
            turning[rod] = turn + direction  # of the rod's own z axis
            rods[rod + ".big"] = pin
            parts.append(Part(x, rod_mass, pin + cg * along, inertia, turn))
            parts.append(Part(x, mass, pin + length * along))
    return parts


def main(path):
    items = read(path)
    given = {item: words for item, words in items}
    speed, reference = float(given["speed"][0]), float(given["reference"][0])
    samples, turns = (int(w) for w in given["sample"])
    omega, sense = abs(speed), math.copysign(1.0, speed)
    fine = samples * FINE
    step = 2 * math.pi * turns / fine
    parts = build(items, sense * step * np.arange(fine))

    moment_of_mass = sum(p.mass * p.centre for p in parts)
    lever = sum(p.mass * (p.x - reference) * p.centre for p in parts)
    crank_inertia = float(given["crank"][1])
    energy = np.full(fine, 0.5 * crank_inertia * omega**2)
    spin = np.full(fine, crank_inertia * speed)
    for p in parts:
        velocity, rate = omega * slope(p.centre, step), omega * slope(p.turning, step)
        energy += 0.5 * (p.mass * np.abs(velocity) ** 2 + p.inertia * rate**2)
        spin += p.mass * (np.conj(p.centre) * velocity).imag + p.inertia * rate
    momentum = omega * slope(moment_of_mass, step)
    force = -omega * slope(momentum, step)
    moment = -(omega**2) * 1j * slope(slope(lever, step), step)
    torque = -slope(energy, step)
    roll = -sense * torque - omega * slope(spin, step)

    print("# engine:", given["engine"][0])
    print("# command: numeric.py", path)
    print(f"# library: Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}")
    print(f"# settings: speed {speed!r} rad/s about +x, {samples} crank angles over {turns} turn(s), moments about x = {reference!r} m")
    print(f"# tolerance: loops closed to 1e-15 m; central differences of order 8, step {math.degrees(step):.6g} degrees")
    print("# columns: angle_rad force_y_N force_z_N moment_y_Nm moment_z_Nm torque_Nm roll_Nm "
          "energy_J momentum_y_kgm/s momentum_z_kgm/s momentum_about_x_kgm2/s")
    for j in range(0, fine, FINE):
        row = [step * j, force[j].real, force[j].imag, moment[j].real, moment[j].imag, torque[j], roll[j],
               energy[j], momentum[j].real, momentum[j].imag, spin[j]]
        print(" ".join(repr(float(v)) for v in row))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: numeric.py INPUT.txt > RAW.txt")
    main(sys.argv[1])
