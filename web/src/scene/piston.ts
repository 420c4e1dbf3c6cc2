import { Shape } from "three";
import { rad, type CylinderPlace } from "../kin";
import { finish } from "./palette";
import type { Sizes } from "./sizes";
import { disc, polygon, Solid } from "./solid";
import { turnedAboutZ } from "./turned";

// A piston stands in the frame of its cylinder: the piston pin in the origin, z outwards along the
// cylinder, x along the crank.

export function pistonSolid(z: Sizes, c: CylinderPlace): Solid {
  const s = new Solid(z.detail);
  const d = z.bore;
  const r = 0.5 * d * 0.982;
  const beside = c.offset - c.boreOffset;
  // the axis turned by +90° points to −y of this frame
  const y = beside;
  const crown = c.crown;
  const belt = crown - 0.29 * d;
  const profile: [number, number][] = [
    [0, crown - 0.022 * d],
    [0.3 * d, crown - 0.022 * d],
    [0.345 * d, crown],
    [r - 0.012 * d, crown],
    [r, crown - 0.012 * d],
  ];
  const grooves = [0.065, 0.125, 0.185].map((g) => crown - g * d);
  profile.push(
    [r, belt],
    [r - 0.05 * d, belt],
    [r - 0.07 * d, belt + 0.1 * d],
    [0, belt + 0.12 * d],
  );
  s.add(turnedAboutZ(profile, s.detail.sides, y), finish.piston);
  for (const g of grooves) {
    // a ring stands a hair out of the piston, which shows its groove well enough
    const ring: [number, number][] = [
      [0.497 * d, g + 0.012 * d],
      [0.497 * d, g - 0.012 * d],
    ];
    s.add(turnedAboutZ(ring, s.detail.sides, y), finish.ring);
  }
  skirts(s, z, y, r, belt);
  bosses(s, z, y, belt);
  s.cylinder(0.5 * z.pistonPin, -0.4 * d, 0.4 * d, finish.pin);
  return s;
}

/** Two shells on the thrust sides, drawn out along the cylinder. */
function skirts(s: Solid, z: Sizes, y: number, r: number, belt: number): void {
  const half = rad(46);
  for (const side of [0, Math.PI]) {
    const shell = new Shape();
    shell.absarc(0, 0, 0.996 * r, side - half, side + half, false);
    shell.absarc(0, 0, 0.9 * r, side + half, side - half, true);
    shell.closePath();
    s.add(
      turnedAboutZ.prism(shell, -z.skirt, belt + 0.01 * z.bore, s.detail.sides, y),
      finish.piston,
    );
  }
}

/** The bosses that hold the pin, hung from the belt. */
function bosses(s: Solid, z: Sizes, y: number, belt: number): void {
  const r = 0.66 * z.pistonPin;
  const top = Math.max(belt + 0.02 * z.bore, 0.3 * r);
  const plate = polygon([
    [-0.86 * r, 0],
    [0.86 * r, 0],
    [1.15 * r + y, top],
    [-1.15 * r + y, top],
  ]);
  for (const side of [-1, 1]) {
    const [from, to] = side < 0 ? [-0.33 * z.bore, -0.15 * z.bore] : [0.15 * z.bore, 0.33 * z.bore];
    s.prism(disc({ y: 0, z: 0, r }, 0.5 * z.pistonPin), from, to, finish.piston, 0.006 * z.bore);
    s.prism(plate, from + 0.01 * z.bore, to - 0.01 * z.bore, finish.piston);
  }
}
