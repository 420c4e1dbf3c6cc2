import { plus, times, type Plane } from "./plane";
import type { Complex, Contribution, Order, Result } from "./types";

// Forces and moments at a crank angle from the phasors of a result document:
//
//	w(θ) = Σ_n ( W⁺_n e^{+inθ} + W⁻_n e^{−inθ} )
//
// W⁺ turns with the crank. A clockwise crank turns the other way, so that the two exponents change places.

/** Which orders count: all of them, or those listed. */
export type OrderChoice = "all" | readonly number[];

/** A vector and the two parts that it is made of. */
export interface Parts {
  readonly sum: Plane;
  /** What turns with the crank. */
  readonly withCrank: Plane;
  /** What turns against it. */
  readonly againstCrank: Plane;
}

export interface PartForce {
  readonly contribution: Contribution;
  readonly force: Plane;
}

const sense = (r: Result): number => (r.rotation === "clockwise" ? -1 : 1);

function turned(c: Complex, angle: number): Plane {
  const [re = 0, im = 0] = c;
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  return { y: re * cos - im * sin, z: re * sin + im * cos };
}

const radians = Math.PI / 180;

/** The orders of a document that are chosen. */
export function chosen(r: Result, orders: OrderChoice): readonly Order[] {
  if (orders === "all") return r.balance.orders;
  return r.balance.orders.filter((o) => orders.includes(o.order));
}

function sumOf(
  r: Result,
  angleDeg: number,
  orders: OrderChoice,
  pick: (o: Order) => readonly [Complex, Complex],
): Parts {
  const step = sense(r) * angleDeg * radians;
  let withCrank: Plane = { y: 0, z: 0 };
  let againstCrank: Plane = { y: 0, z: 0 };
  for (const o of chosen(r, orders)) {
    const [w, a] = pick(o);
    withCrank = plus(withCrank, turned(w, o.order * step));
    againstCrank = plus(againstCrank, turned(a, -o.order * step));
  }
  return { sum: plus(withCrank, againstCrank), withCrank, againstCrank };
}

/** The shaking force on the block [N]. */
export function force(r: Result, angleDeg: number, orders: OrderChoice = "all"): Parts {
  return sumOf(r, angleDeg, orders, (o) => [o.force.with_crank_N, o.force.against_crank_N]);
}

/** The shaking moment on the block about y and z [N m]. */
export function moment(r: Result, angleDeg: number, orders: OrderChoice = "all"): Parts {
  return sumOf(r, angleDeg, orders, (o) => [o.moment.with_crank_Nm, o.moment.against_crank_Nm]);
}

/** The moment about x on the block because of inertia [N m]. */
export function roll(r: Result, angleDeg: number, orders: OrderChoice = "all"): number {
  return scalar(r, angleDeg, orders, (o) => o.roll_Nm);
}

/** The torque that inertia exerts on the crank [N m]. */
export function inertiaTorque(r: Result, angleDeg: number, orders: OrderChoice = "all"): number {
  return scalar(r, angleDeg, orders, (o) => o.inertia_torque_Nm);
}

function scalar(
  r: Result,
  angleDeg: number,
  orders: OrderChoice,
  pick: (o: Order) => Complex,
): number {
  const θ = angleDeg * radians;
  return chosen(r, orders).reduce((sum, o) => sum + turned(pick(o), o.order * θ).y, 0);
}

/** What each part of the engine adds [N], its orders summed; needs a document with contributions. */
export function partForces(r: Result, angleDeg: number, orders: OrderChoice = "all"): PartForce[] {
  const step = sense(r) * angleDeg * radians;
  const found = new Map<string, PartForce>();
  for (const o of chosen(r, orders)) {
    for (const c of o.contributions ?? []) {
      const key = `${c.part}@${c.at_mm}`;
      const f = plus(
        turned(c.force_with_crank_N, o.order * step),
        turned(c.force_against_crank_N, -o.order * step),
      );
      const before = found.get(key);
      found.set(key, { contribution: c, force: before ? plus(before.force, f) : f });
    }
  }
  return [...found.values()];
}

/** A pair of opposite forces that makes a moment: +force at the drive end, −force at the free end. */
export function couple(m: Plane, apart: number): Plane {
  // M = i·L·F
  return times({ y: m.z, z: -m.y }, 1 / apart);
}

/** The ellipse that one order describes, as a closed run of points. */
export function ellipse(withCrank: Complex, againstCrank: Complex, points = 96): Plane[] {
  return Array.from({ length: points }, (_, i) => {
    const a = (2 * Math.PI * i) / points;
    return plus(turned(withCrank, a), turned(againstCrank, -a));
  });
}

/** How far the pattern of the chosen orders goes before it repeats [deg]. */
function patternDeg(r: Result, orders: OrderChoice = "all"): number {
  return chosen(r, orders).some((o) => o.order % 1 !== 0) ? 720 : 360;
}

/** The path of the resultant's tip over one repetition, without the first point again at the end. */
export function trace(r: Result, orders: OrderChoice = "all", points = 240): Plane[] {
  const period = patternDeg(r, orders);
  return Array.from({ length: points }, (_, i) => force(r, (period * i) / points, orders).sum);
}

/** The path of the couple's drive-end force for a given distance between the two forces [N]. */
export function coupleTrace(
  r: Result,
  apart: number,
  orders: OrderChoice = "all",
  points = 240,
): Plane[] {
  const period = patternDeg(r, orders);
  return Array.from({ length: points }, (_, i) =>
    couple(moment(r, (period * i) / points, orders).sum, apart),
  );
}
