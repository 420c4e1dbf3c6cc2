import type { ContributionDoc, EngineDocument, OrderDoc } from "../api/types";

// The vectors of one order, taken from the document: nothing is computed here but where they stand at
// a crank angle. A plane vector is y + iz; w(θ) = W⁺ e^{inθ} + W⁻ e^{−inθ}.

export type Quantity = "force" | "moment";

export interface Vector {
  y: number;
  z: number;
}

/** One arrow of a star: a part, or several whose vectors are the same. */
export interface Arrow extends Vector {
  kind: ContributionDoc["kind"];
  names: string[];
  size: number;
  /** Place among arrows of the same direction: 0, 1, −1, 2 … */
  aside: number;
}

export interface Star {
  arrows: Arrow[];
  sum: Vector & { size: number };
  longest: number;
}

export interface OrderStars {
  order: number;
  with: Star;
  against: Star;
  major: number;
  minor: number;
  axisDeg: number;
}

export function vector(c: readonly number[] | undefined): Vector {
  return { y: c?.[0] ?? 0, z: c?.[1] ?? 0 };
}

export function size(v: Vector): number {
  return Math.hypot(v.y, v.z);
}

/** v e^{i deg}. */
export function rotate(v: Vector, deg: number): Vector {
  const a = (deg * Math.PI) / 180;
  const c = Math.cos(a);
  const s = Math.sin(a);
  return { y: v.y * c - v.z * s, z: v.y * s + v.z * c };
}

export function orderOf(doc: EngineDocument | undefined, order: number): OrderDoc | undefined {
  return doc?.balance.orders.find((o) => o.order === order);
}

/** What an order of the quantity is made of. */
export function partsOf(o: OrderDoc, q: Quantity): { with: Vector; against: Vector } {
  return q === "force"
    ? { with: vector(o.force.with_crank_N), against: vector(o.force.against_crank_N) }
    : { with: vector(o.moment.with_crank_Nm), against: vector(o.moment.against_crank_Nm) };
}

export function ellipseOf(
  o: OrderDoc,
  q: Quantity,
): { major: number; minor: number; axisDeg: number } {
  return q === "force"
    ? { major: o.force.major_N, minor: o.force.minor_N, axisDeg: o.force.axis_deg }
    : { major: o.moment.major_Nm, minor: o.moment.minor_Nm, axisDeg: o.moment.axis_deg };
}

/** Short name of a part in a figure: 3, T2, W1, S1. */
export function shortName(c: Pick<ContributionDoc, "part" | "kind">): string {
  const bare = c.part.replace(/^(cylinder|throw|counterweight|shaft)\s+/, "");
  switch (c.kind) {
    case "cylinder":
      return bare;
    case "throw":
      return /^T/.test(bare) ? bare : `T${bare}`;
    case "counterweight":
      return `W${bare}`;
    case "shaft":
      return `S${bare}`;
  }
}

function share(c: ContributionDoc, q: Quantity, withCrank: boolean): Vector {
  if (q === "force") return vector(withCrank ? c.force_with_crank_N : c.force_against_crank_N);
  return vector(withCrank ? c.moment_with_crank_Nm : c.moment_against_crank_Nm);
}

function starOf(o: OrderDoc, q: Quantity, withCrank: boolean): Star {
  const shares = (o.contributions ?? []).map((c) => ({ c, v: share(c, q, withCrank) }));
  const longest = Math.max(0, ...shares.map((s) => size(s.v)));
  const arrows: Arrow[] = [];
  for (const { c, v } of shares) {
    const length = size(v);
    if (length <= 1e-9 * longest || length === 0) continue;
    const twin = arrows.find(
      (a) => a.kind === c.kind && Math.hypot(a.y - v.y, a.z - v.z) < 0.01 * length,
    );
    if (twin) twin.names.push(shortName(c));
    else arrows.push({ ...v, kind: c.kind, names: [shortName(c)], size: length, aside: 0 });
  }
  setAside(arrows);
  const whole = partsOf(o, q)[withCrank ? "with" : "against"];
  return { arrows, sum: { ...whole, size: size(whole) }, longest };
}

/** Arrows that point the same way are set beside each other, the longest in the middle. */
function setAside(arrows: Arrow[]): void {
  const done = new Set<Arrow>();
  for (const a of arrows) {
    if (done.has(a)) continue;
    const row = arrows.filter((b) => !done.has(b) && sameDirection(a, b));
    row.sort((p, r) => r.size - p.size);
    row.forEach((b, n) => {
      done.add(b);
      b.aside = n % 2 ? -(n + 1) / 2 : n / 2;
    });
  }
}

function sameDirection(a: Vector, b: Vector): boolean {
  const cross = a.y * b.z - a.z * b.y;
  const dot = a.y * b.y + a.z * b.z;
  return dot > 0 && Math.abs(cross) < 0.012 * dot;
}

export function starsOf(o: OrderDoc, q: Quantity): OrderStars {
  return {
    order: o.order,
    with: starOf(o, q, true),
    against: starOf(o, q, false),
    ...ellipseOf(o, q),
  };
}

/** The vector of one order at a crank angle. */
export function at(parts: { with: Vector; against: Vector }, order: number, deg: number): Vector {
  const a = rotate(parts.with, order * deg);
  const b = rotate(parts.against, -order * deg);
  return { y: a.y + b.y, z: a.z + b.z };
}

/** The order with the longest ellipse of all; of the same length, the lowest. */
export function strongestOrder(doc: EngineDocument | undefined, q: Quantity): number {
  let best = 1;
  let most = 0;
  for (const o of doc?.balance.orders ?? []) {
    const { major } = ellipseOf(o, q);
    if (major > most * 1.0000001) {
      most = major;
      best = o.order;
    }
  }
  return best;
}

/** 1st, 2nd, 3rd, 4th, 0.5th. */
export function ordinal(order: number): string {
  const whole = Number.isInteger(order);
  const last = order % 10;
  const teen = order % 100 >= 11 && order % 100 <= 13;
  if (whole && !teen && last === 1) return `${order}st`;
  if (whole && !teen && last === 2) return `${order}nd`;
  if (whole && !teen && last === 3) return `${order}rd`;
  return `${order}th`;
}

/** The same, with a half as a sign: ½, 1st, 2nd. */
export function ordinalSign(order: number): string {
  return order === 0.5 ? "½" : ordinal(order);
}
