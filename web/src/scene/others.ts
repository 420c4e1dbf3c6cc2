import { Path, Shape } from "three";
import type { ShaftPlace, Train } from "../kin";
import { finish } from "./palette";
import { steel, type Sizes } from "./sizes";
import { disc, fan, Solid } from "./solid";

/** The flywheel behind the drive end, in the frame of the crank. */
export function flywheelSolid(z: Sizes): Solid | null {
  const r = z.flywheel / 2;
  if (!(r > 0)) return null;
  const s = new Solid(z.detail);
  const from = z.line.to + 0.09 * z.bore;
  const thick = Math.min(0.26 * z.bore, 0.16 * r);
  const hub = Math.min(0.66 * z.main, 0.5 * r);
  const b = 0.05 * thick;
  // a rim, a thinner disc with six windows, and a hub
  s.prism(disc({ y: 0, z: 0, r: 0.95 * r }, 0.76 * r), from, from + thick, finish.flywheelFace, b);
  const plate = disc({ y: 0, z: 0, r: 0.78 * r });
  for (let i = 0; i < 6; i++) {
    const a = ((i + 0.5) * Math.PI) / 3;
    const middle = (0.76 * r + hub) / 2;
    const hole = new Path();
    const size = Math.min(0.34 * (0.76 * r - hub), 0.4 * middle);
    hole.absarc(middle * Math.cos(a), middle * Math.sin(a), size, 0, 2 * Math.PI, true);
    plate.holes.push(hole);
  }
  s.prism(plate, from + 0.24 * thick, from + 0.62 * thick, finish.flywheel, b);
  s.cylinder(hub, from, from + 0.9 * thick, finish.flywheelFace);
  s.teeth(
    gearShape(0.945 * r, r, 0.9 * r, s.detail.fine ? 96 : 48),
    from + 0.12 * thick,
    from + 0.5 * thick,
    finish.flywheel,
  );
  for (let i = 0; s.detail.fine && i < 6; i++) {
    const a = (i * Math.PI) / 3;
    const y = 0.68 * hub * Math.cos(a);
    const x = from + 0.9 * thick - 0.001;
    s.cylinder(0.12 * hub, x, x + 0.06 * z.bore, finish.bolt, y, 0.68 * hub * Math.sin(a));
  }
  return s;
}

/** A ring with teeth; enough to see that it turns. */
function gearShape(root: number, tip: number, hole: number, teeth: number): Shape {
  const s = new Shape();
  for (let i = 0; i < teeth; i++) {
    const at = (share: number, r: number) => {
      const a = ((i + share) * 2 * Math.PI) / teeth;
      const p: [number, number] = [r * Math.cos(a), r * Math.sin(a)];
      if (i === 0 && share === 0) s.moveTo(...p);
      else s.lineTo(...p);
    };
    at(0, root);
    at(0.3, root);
    at(0.42, tip);
    at(0.78, tip);
    at(0.9, root);
  }
  s.closePath();
  if (hole > 0) {
    const h = new Path();
    h.absarc(0, 0, hole, 0, 2 * Math.PI, true);
    s.holes.push(h);
  }
  return s;
}

/** Where the timing wheels stand along the crank [m]. */
const wheelAt = (z: Sizes): number => z.line.from - 0.16 * z.bore;

/** A balance shaft at crank angle 0, turning about its own axis. */
export function shaftSolid(h: ShaftPlace, z: Sizes): Solid {
  const s = new Solid(z.detail);
  const r = z.shaft;
  const wheel = wheelAt(z);
  s.cylinder(0.3 * r, wheel - 0.05 * z.bore, z.line.to, finish.shaft);
  for (const x of [z.line.from + 0.05 * z.bore, z.line.to - 0.14 * z.bore]) {
    s.cylinder(0.46 * r, x, x + 0.09 * z.bore, finish.journal);
  }
  for (const m of h.masses) {
    if (m.unbalance === 0) continue;
    // half a disc of steel as long as its unbalance asks for: U = ρ L ⅔ R³
    const outer = 0.95 * r;
    const long = (1.5 * Math.abs(m.unbalance)) / (steel * outer ** 3);
    const half = Math.min(Math.max(long, 0.16 * z.bore), 0.8 * (z.line.to - z.line.from)) / 2;
    const angle = m.unbalance < 0 ? m.angle + Math.PI : m.angle;
    s.prism(
      fan(angle, Math.PI / 2, outer, 0.3 * r, Math.PI / 2),
      m.x - half,
      m.x + half,
      finish.lobe,
      0.03 * r,
    );
    for (const side of [m.x - half, m.x + half - 0.02 * z.bore]) {
      s.prism(disc({ y: 0, z: 0, r: 0.42 * r }), side, side + 0.02 * z.bore, finish.lobe);
    }
  }
  const gear = wheelRadius(z, h.ratio);
  const teeth = gearShape(0.9 * gear, gear, 0.62 * gear, teethOf(h.ratio));
  s.cylinder(0.64 * gear, wheel - 0.02 * z.bore, wheel + 0.02 * z.bore, finish.gear);
  s.teeth(teeth, wheel - 0.035 * z.bore, wheel + 0.035 * z.bore, finish.gear);
  return s;
}

/** The wheel on the nose of the crank; the shafts' wheels stand to it as their speeds, the train between them is left out. */
export function timingWheel(train: Train, z: Sizes): Solid | null {
  if (train.shafts.length === 0) return null;
  const s = new Solid(z.detail);
  const wheel = wheelAt(z);
  const r = wheelRadius(z, 1);
  s.teeth(
    gearShape(0.93 * r, r, 0, 32),
    wheel - 0.035 * z.bore,
    wheel + 0.035 * z.bore,
    finish.gear,
  );
  return s;
}

const teethOf = (ratio: number): number =>
  Math.max(10, Math.min(64, Math.round(32 / Math.abs(ratio || 1))));

function wheelRadius(z: Sizes, ratio: number): number {
  return (0.44 * z.main) / Math.max(0.6, Math.min(3, Math.abs(ratio)));
}
