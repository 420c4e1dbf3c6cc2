import { Path, Shape } from "three";
import type { CylinderPlace, Train } from "../kin";
import { finish } from "./palette";
import type { Sizes } from "./sizes";
import { disc, polygon, Solid } from "./solid";

// A rod stands in its own frame: the driving pin in the origin, z towards the piston pin, x along the crank.

/** How the big end of a rod shares its pin with others in the same place along the crank. */
interface Slice {
  readonly from: number;
  readonly to: number;
}

export interface RodKind {
  /** Rods with the same key look the same. */
  readonly key: string;
  build(): Solid;
}

export function rodKind(train: Train, z: Sizes, c: CylinderPlace): RodKind {
  const links = train.cylinders.filter((o) => o.master === c.index);
  const slice = c.master < 0 && links.length === 0 ? sliceOf(train, z, c) : whole(z);
  const mm = (v: number) => Math.round(v * 1e5);
  const key = [
    mm(c.rod),
    c.master >= 0 ? "link" : "plain",
    mm(slice.from),
    mm(slice.to),
    ...links.map((l) => `${mm(l.knuckle)}@${l.knuckleAngle.toFixed(4)}`),
  ].join(" ");
  return {
    key,
    build: () => {
      const s = new Solid(z.detail);
      if (c.master >= 0) linkRod(s, z, c);
      else if (links.length > 0) masterRod(s, z, c, links);
      else plainRod(s, z, c, slice);
      return s;
    },
  };
}

const whole = (z: Sizes): Slice => ({ from: -z.rodWidth / 2, to: z.rodWidth / 2 });

/** Rods that stand on one pin in one place share its width between them. */
function sliceOf(train: Train, z: Sizes, c: CylinderPlace): Slice {
  const same = train.cylinders.filter(
    (o) => o.throw === c.throw && o.master < 0 && Math.abs(o.x - c.x) < 1e-4,
  );
  const n = same.length;
  if (n < 2) return whole(z);
  const k = same.findIndex((o) => o.index === c.index);
  const w = z.rodWidth / n;
  return { from: -z.rodWidth / 2 + (k + 0.04) * w, to: -z.rodWidth / 2 + (k + 0.96) * w };
}

function plainRod(s: Solid, z: Sizes, c: CylinderPlace, slice: Slice): void {
  const big = 0.68 * z.pin;
  const bevel = 0.01 * z.bore;
  s.prism(disc({ y: 0, z: 0, r: big }, 0.5 * z.pin), slice.from, slice.to, finish.rod, bevel);
  const middle = (slice.from + slice.to) / 2;
  const w = slice.to - slice.from;
  for (const side of [-1, 1]) {
    // the shoulders that take the bolts, with the joint of the cap between them
    const y = side * 0.93 * big;
    const h = 0.16 * big;
    const block = (from: number, to: number, half: number, colour: string, wide: number) =>
      s.prism(
        polygon([
          [y - half, from],
          [y + half, from],
          [y + half, to],
          [y - half, to],
        ]),
        middle - wide * w,
        middle + wide * w,
        colour,
        0.3 * bevel,
      );
    block(-0.42 * big, -0.012 * big, h, finish.rod, 0.44);
    block(0.012 * big, 0.4 * big, h, finish.rod, 0.44);
    if (!s.detail.fine) continue;
    block(-0.58 * big, -0.42 * big, 0.7 * h, finish.bolt, 0.26);
    block(0.4 * big, 0.5 * big, 0.6 * h, finish.bolt, 0.22);
  }
  smallEnd(s, z, c.rod);
  shank(s, z, c.rod, 0.82 * big, Math.min(0.6 * big, 0.24 * z.bore));
}

function smallEnd(s: Solid, z: Sizes, length: number): void {
  const r = 0.66 * z.pistonPin;
  const half = 0.46 * z.rodWidth;
  s.prism(disc({ y: 0, z: length, r }, 0.5 * z.pistonPin), -half, half, finish.rod, 0.01 * z.bore);
}

/** The beam between the eyes: two flanges and a thinner middle. */
function shank(s: Solid, z: Sizes, length: number, start: number, a: number): void {
  const small = 0.66 * z.pistonPin;
  const end = length - 0.8 * small;
  const b = 0.66 * small;
  const rim = 0.24 * Math.min(a, b);
  if (!(end > start)) return;
  const at = (t: number) => a + (b - a) * t;
  const outline = polygon([
    [-a, start],
    [a, start],
    [b, end],
    [-b, end],
  ]);
  const p0 = start + 0.32 * a;
  const p1 = end - 0.35 * b;
  if (p1 > p0 + 0.5 * rim) {
    const t = (q: number) => at((q - start) / (end - start)) - rim;
    const window = roundedWindow(t(p0), p0, t(p1), p1);
    outline.holes.push(window);
    s.prism(new Shape(window.getPoints(6)), -0.1 * z.rodWidth, 0.1 * z.rodWidth, finish.rodDark);
  }
  s.prism(outline, -0.33 * z.rodWidth, 0.33 * z.rodWidth, finish.rod, 0.006 * z.bore);
}

function roundedWindow(a: number, from: number, b: number, to: number): Path {
  const r = 0.6 * Math.min(a, b);
  const p = new Path();
  p.moveTo(-a + r, from);
  p.quadraticCurveTo(-a, from, -a, from + r);
  p.lineTo(-b, to - r);
  p.quadraticCurveTo(-b, to, -b + r, to);
  p.lineTo(b - r, to);
  p.quadraticCurveTo(b, to, b, to - r);
  p.lineTo(a, from + r);
  p.quadraticCurveTo(a, from, a - r, from);
  p.closePath();
  return p;
}

/** A rod that a master carries: two small eyes. */
function linkRod(s: Solid, z: Sizes, c: CylinderPlace): void {
  const r = knuckleEye(z);
  const half = 0.26 * z.rodWidth;
  s.prism(disc({ y: 0, z: 0, r }, 0.6 * r), -half, half, finish.rod, 0.006 * z.bore);
  smallEnd(s, z, c.rod);
  shankOfLink(s, z, c.rod, r);
}

function shankOfLink(s: Solid, z: Sizes, length: number, r: number): void {
  const small = 0.66 * z.pistonPin;
  const a = 0.66 * r;
  const b = 0.6 * small;
  const start = 0.8 * r;
  const end = length - 0.8 * small;
  if (!(end > start)) return;
  const outline = polygon([
    [-a, start],
    [a, start],
    [b, end],
    [-b, end],
  ]);
  s.prism(outline, -0.2 * z.rodWidth, 0.2 * z.rodWidth, finish.rod, 0.006 * z.bore);
  const groove = polygon([
    [-0.5 * a, start + 0.6 * a],
    [0.5 * a, start + 0.6 * a],
    [0.5 * b, end - 0.6 * b],
    [-0.5 * b, end - 0.6 * b],
  ]);
  s.prism(groove, -0.205 * z.rodWidth, 0.205 * z.rodWidth, finish.rodDark);
}

const knuckleEye = (z: Sizes): number => 0.55 * z.pistonPin;

/** A master rod: two cheeks with the knuckle pins between them. */
function masterRod(s: Solid, z: Sizes, c: CylinderPlace, links: readonly CylinderPlace[]): void {
  const eye = knuckleEye(z);
  const reach = Math.max(0.7 * z.pin, ...links.map((l) => l.knuckle));
  const w = 0.62 * z.rodWidth;
  const cheek = disc({ y: 0, z: 0, r: reach + 0.62 * eye }, 0.5 * z.pin);
  for (const side of [-1, 1]) {
    const from = side < 0 ? -w : 0.3 * z.rodWidth;
    s.prism(cheek, from, from + (w - 0.3 * z.rodWidth), finish.rod, 0.008 * z.bore);
  }
  s.prism(disc({ y: 0, z: 0, r: 0.66 * z.pin }, 0.5 * z.pin), -w, w, finish.rodDark);
  for (const l of links) {
    const y = -Math.sin(l.knuckleAngle) * l.knuckle;
    const zz = Math.cos(l.knuckleAngle) * l.knuckle;
    s.cylinder(0.6 * eye, -1.08 * w, 1.08 * w, finish.pin, y, zz);
  }
  smallEnd(s, z, c.rod);
  shank(
    s,
    z,
    c.rod,
    Math.max(0.68 * z.pin, 0.72 * reach),
    Math.min(0.62 * eye + 0.2 * reach, 0.24 * z.bore),
  );
}
