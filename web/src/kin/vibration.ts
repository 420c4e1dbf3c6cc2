import { times, type Plane } from "./plane";
import { chosen, type OrderChoice } from "./phasors";
import type { Geometry, Order, Result } from "./types";

// How a free block would answer, for the eye only: above the resonance of its mounts it moves as a free
// rigid body, so that order n moves it by −W/(m n²ω²), against the force.

/** The block that stands in for the real one. */
export interface Block {
  readonly massKg: number;
  /** Moments of inertia about x, y and z [kg m²]. */
  readonly inertia: readonly [number, number, number];
  /** What was assumed, in words. */
  readonly assumption: string;
}

export interface Motion {
  /** Displacement of the reference point [m]. */
  readonly shift: Plane;
  /** Turning about x, y and z [rad]. */
  readonly turn: readonly [number, number, number];
}

/** Times the reciprocating masses: about what engines of many sizes weigh. For the picture only. */
const shareOfReciprocating = 60;

/** A uniform box round the crank train. */
export function blockOf(g: Geometry): Block {
  const sliding = g.cylinders.reduce((sum, c) => sum + c.reciprocating_kg, 0);
  const massKg = shareOfReciprocating * Math.max(sliding, 1e-6);
  const xs = g.cylinders.map((c) => c.at_mm / 1000);
  const bore = g.bore_mm / 1000 || Math.max(...g.throws.map((t) => t.radius_mm / 500));
  const long = Math.max(...xs) - Math.min(...xs) + 1.6 * bore;
  const high = Math.max(...g.cylinders.map((c) => (c.rod_mm + c.stroke_mm) / 1000)) + bore;
  const box = (a: number, b: number) => (massKg * (a * a + b * b)) / 12;
  return {
    massKg,
    inertia: [box(high, high), box(long, high), box(long, high)],
    assumption: `block as a free uniform box of ${Number(massKg.toPrecision(2))} kg, ${shareOfReciprocating} times the reciprocating masses`,
  };
}

const zero: Motion = { shift: { y: 0, z: 0 }, turn: [0, 0, 0] };

/** Where the block is at a crank angle, true to scale; multiply for the eye. */
export function vibration(
  r: Result,
  block: Block,
  angleDeg: number,
  orders: OrderChoice = "all",
): Motion {
  if (!(block.massKg > 0)) return zero;
  const ω = (r.speed_rpm * Math.PI) / 30;
  const θ = (angleDeg * Math.PI) / 180;
  const s = r.rotation === "clockwise" ? -1 : 1;
  const shift = { y: 0, z: 0 };
  const turn: [number, number, number] = [0, 0, 0];
  const [ix, iy, iz] = block.inertia;
  for (const o of chosen(r, orders)) {
    const f = -1 / (o.order * o.order * ω * ω);
    const at = vectorsAt(o, s * o.order * θ);
    shift.y += (f * at.force.y) / block.massKg;
    shift.z += (f * at.force.z) / block.massKg;
    turn[1] += (f * at.moment.y) / iy;
    turn[2] += (f * at.moment.z) / iz;
    const [re = 0, im = 0] = o.roll_Nm;
    turn[0] += (f * (re * Math.cos(o.order * θ) - im * Math.sin(o.order * θ))) / ix;
  }
  return { shift, turn };
}

/** Force and moment of one order when its vectors have turned by an angle [rad]. */
function vectorsAt(o: Order, angle: number): { force: Plane; moment: Plane } {
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const both = (w: readonly number[], a: readonly number[]): Plane => {
    const [wr = 0, wi = 0] = w;
    const [ar = 0, ai = 0] = a;
    return { y: (wr + ar) * cos + (ai - wi) * sin, z: (wi + ai) * cos + (wr - ar) * sin };
  };
  return {
    force: both(o.force.with_crank_N, o.force.against_crank_N),
    moment: both(o.moment.with_crank_Nm, o.moment.against_crank_Nm),
  };
}

/** The largest distance that any point within reach [m] of the reference moves, true to scale [m]. */
export function largestMotion(
  r: Result,
  block: Block,
  reach: number,
  orders: OrderChoice = "all",
): number {
  let most = 0;
  for (let a = 0; a < 720; a += 6) {
    const m = vibration(r, block, a, orders);
    most = Math.max(most, Math.hypot(m.shift.y, m.shift.z) + reach * Math.hypot(...m.turn));
  }
  return most;
}

/** A round factor (1, 2 or 5 times a power of ten) that makes the largest of some motions about as large as wanted. */
export function exaggerationFor(motions: readonly number[], wanted: number): number {
  const most = Math.max(0, ...motions);
  if (!(most > 0)) return 1;
  const raw = wanted / most;
  const power = 10 ** Math.floor(Math.log10(raw));
  const lead = raw / power;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power;
}

/** Motion times a factor. */
export const exaggerated = (m: Motion, factor: number): Motion => ({
  shift: times(m.shift, factor),
  turn: [m.turn[0] * factor, m.turn[1] * factor, m.turn[2] * factor],
});
