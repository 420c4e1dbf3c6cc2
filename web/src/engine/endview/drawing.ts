import type { Geometry } from "../../api/types";
import { Train } from "../../kin";
import type { Handle, Point } from "../turn";

// Places on the paper, in pixels, of everything in the end view. Metres times scale; y of the engine to
// the right, z up, so that y of the paper turns its sign.

export interface Frame {
  width: number;
  height: number;
  /** Crank axis. */
  centre: Point;
  /** Pixels a metre. */
  scale: number;
}

interface Extent {
  left: number;
  right: number;
  up: number;
  down: number;
}

/** How far the train reaches from the crank axis in any position [m]. */
export function extentOf(g: Geometry): Extent {
  const train = new Train(g);
  const bore = g.bore_mm / 1000;
  const throwMost = Math.max(0.001, ...train.throws.map((t) => t.radius));
  const pin = g.crankpin.diameter_mm / 2000;
  const ring = throwMost * 1.28 + pin;
  const e: Extent = { left: ring, right: ring, up: ring, down: ring };
  for (const c of train.cylinders) {
    const r = train.throws[c.throw]?.radius ?? throwMost;
    const reach = r + c.rod + c.crown;
    for (const side of [-1, 1]) {
      const across = c.boreOffset + (side * bore) / 2;
      const y = c.out.y * reach + c.across.y * across;
      const z = c.out.z * reach + c.across.z * across;
      e.left = Math.max(e.left, -y);
      e.right = Math.max(e.right, y);
      e.up = Math.max(e.up, z);
      e.down = Math.max(e.down, -z);
    }
  }
  for (const s of train.shafts) {
    e.left = Math.max(e.left, -s.at.y + 0.02);
    e.right = Math.max(e.right, s.at.y + 0.02);
    e.up = Math.max(e.up, s.at.z + 0.02);
    e.down = Math.max(e.down, -s.at.z + 0.02);
  }
  return e;
}

/** The frame in which an extent fits, symmetric so that turning a bank does not move the crank. */
export function frameOf(e: Extent, width: number, most: number): Frame {
  const margin = 40;
  const half = Math.max(e.left, e.right);
  const tall = e.up + e.down;
  // A drawing that has no room yet is small, not inside out.
  const scale = Math.max(1e-6, Math.min((width / 2 - margin) / half, (most - 2 * margin) / tall));
  const height = Math.round(tall * scale + 2 * margin);
  return { width, height, centre: { x: width / 2, y: margin + e.up * scale }, scale };
}

export function paper(f: Frame, p: { y: number; z: number }): Point {
  return { x: f.centre.x + p.y * f.scale, y: f.centre.y - p.z * f.scale };
}

/** Outline of a rod from its big end to its small end. */
export function rodPath(a: Point, b: Point, ra: number, rb: number): string {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const l = Math.hypot(dx, dy) || 1;
  const nx = -dy / l;
  const ny = dx / l;
  const p = (c: Point, r: number): string =>
    `${(c.x + nx * r).toFixed(1)} ${(c.y + ny * r).toFixed(1)}`;
  return `M${p(a, ra)}L${p(b, rb)}L${p(b, -rb)}L${p(a, -ra)}Z`;
}

/** Radial places of throw handles, so that those in one direction stand behind each other. */
export function stackOf(handles: Handle[]): Map<string, number> {
  const out = new Map<string, number>();
  const taken: { deg: number; level: number }[] = [];
  for (const h of handles) {
    if (h.kind === "bank") continue;
    const near = taken.filter((t) => Math.abs(((h.deg - t.deg + 540) % 360) - 180) < 12);
    const level = near.length > 0 ? Math.max(...near.map((t) => t.level)) + 1 : 0;
    taken.push({ deg: h.deg, level });
    out.set(h.id, level);
  }
  return out;
}

/** Cylinders that look the same from the drive end share a name: "1, 4". */
export function axisNames(g: Geometry): { name: string; deg: number; index: number }[] {
  const out: { names: string[]; deg: number; index: number }[] = [];
  g.cylinders.forEach((c, i) => {
    const same = out.find((o) => Math.abs(((o.deg - c.axis_deg + 540) % 360) - 180) < 0.5);
    if (same) same.names.push(c.name);
    else out.push({ names: [c.name], deg: c.axis_deg, index: i });
  });
  return out.map((o) => ({
    ...o,
    name: o.names.length > 6 ? `${o.names[0]} … ${o.names.at(-1)}` : o.names.join(", "),
  }));
}
