import type { Geometry, Train } from "../kin";
import { fineDetail, type Detail } from "./solid";

// The measures that a solid needs beyond what the geometry gives [m], and how the crank is cut into
// journals, webs and pins. The proportions are those of the flat figures.

/** Density of the steel that counterweights and the masses of shafts are drawn in [kg/m³]. */
export const steel = 7800;

/** A part of the crank along its axis; a pin has its throw, a web the throws that it joins. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly throws: readonly number[];
}

interface CrankLine {
  readonly mains: Stretch[];
  readonly webs: Stretch[];
  readonly pins: Stretch[];
  readonly from: number;
  readonly to: number;
}

export interface Sizes {
  readonly detail: Detail;
  readonly bore: number;
  readonly pin: number;
  readonly main: number;
  readonly web: number;
  readonly webWidth: number;
  readonly rodWidth: number;
  readonly pistonPin: number;
  readonly skirt: number;
  /** Wall of a cylinder sleeve. */
  readonly wall: number;
  /** How far a counterweight may reach without meeting a piston. */
  readonly counterweightReach: number;
  readonly shaft: number;
  readonly flywheel: number;
  readonly line: CrankLine;
  /** By cylinder: where the sleeve begins and ends along its axis. */
  readonly sleeves: readonly { low: number; high: number }[];
}

export function sizesOf(g: Geometry, train: Train, detail: Detail = fineDetail): Sizes {
  const radii = train.throws.map((t) => t.radius);
  const r = Math.max(...radii);
  const bore = g.bore_mm / 1000 || 2 * r;
  const or = (mm: number, share: number) => (mm > 0 ? mm / 1000 : share * bore);
  const pin = or(g.crankpin.diameter_mm, 0.58);
  const webWidth = or(g.web_width_mm, 1.05);
  const crowd = crowding(train);
  const wanted = {
    pinWidth: or(g.crankpin.width_mm, 0.3),
    rodWidth: Math.min(0.22 * bore, 0.94 * crowd),
    web: or(g.web_thickness_mm, 0.22),
    main: or(g.main_journal.width_mm, 0.3),
  };
  const { line, fit } = crankLine(train, wanted);
  const skirt = 0.28 * bore;
  const travels = train.cylinders.map((_, i) => travelOf(train, i));
  const least = Math.min(...travels.map((t) => t.low));
  const own = Math.max(...radii) + 0.62 * pin;
  return {
    detail,
    bore,
    pin,
    main: or(g.main_journal.diameter_mm, 0.66),
    web: fit * wanted.web,
    webWidth,
    rodWidth: fit * wanted.rodWidth,
    pistonPin: 0.25 * bore,
    skirt,
    wall: wallOf(train, bore),
    counterweightReach: Math.max(
      0.52 * webWidth,
      Math.min(1.12 * own, least - skirt - 0.015 * bore),
    ),
    shaft: shaftRadius(train, Math.min(...radii), own),
    flywheel: g.flywheel_mm / 1000,
    line,
    sleeves: travels.map((t, i) => ({
      low: t.low - 0.12 * bore,
      high: t.high + (train.cylinders[i]?.crown ?? 0) + 0.07 * bore,
    })),
  };
}

/** Nearest and furthest place of a piston pin along its cylinder. */
function travelOf(train: Train, i: number): { low: number; high: number } {
  let low = Infinity;
  let high = -Infinity;
  for (let a = 0; a < 360; a += 7.5) {
    const { travel } = train.pose(i, a);
    low = Math.min(low, travel);
    high = Math.max(high, travel);
  }
  return { low, high };
}

/** The smallest distance between two rods beside each other on one pin. */
function crowding(train: Train): number {
  let least = Infinity;
  for (const a of train.cylinders) {
    for (const b of train.cylinders) {
      const d = Math.abs(a.x - b.x);
      if (a.throw === b.throw && a.master < 0 && b.master < 0 && d > 1e-4)
        least = Math.min(least, d);
    }
  }
  return least;
}

function wallOf(train: Train, bore: number): number {
  let wall = 0.055 * bore;
  for (const a of train.cylinders) {
    for (const b of train.cylinders) {
      const d = Math.abs(a.x - b.x);
      if (a.index !== b.index && Math.abs(a.axis - b.axis) < 1e-3 && d > bore) {
        wall = Math.min(wall, 0.48 * (d - bore));
      }
    }
  }
  return Math.max(wall, 0.012 * bore);
}

function shaftRadius(train: Train, throwRadius: number, crankReach: number): number {
  let r = 0.55 * throwRadius;
  for (const s of train.shafts) {
    const room = Math.hypot(s.at.y, s.at.z) - crankReach;
    r = Math.min(r, Math.max(0.36 * throwRadius, 0.94 * room));
  }
  return r;
}

interface Wanted {
  pinWidth: number;
  rodWidth: number;
  web: number;
  main: number;
}

/**
 * Lays main journals, webs and pins along the crank. Throws of one pair stand between two main journals.
 * Widths shrink together where the places of the throws leave less room.
 */
function crankLine(train: Train, w: Wanted): { line: CrankLine; fit: number } {
  const sets = throwSets(train);
  const x = (i: number) => train.throws[i]?.x ?? 0;
  const half = (i: number) => pinWidth(train, w, i) / 2;
  let fit = 1;
  sets.forEach((set, s) => {
    const before = sets[s - 1]?.at(-1);
    const first = set[0];
    if (before !== undefined && first !== undefined) {
      fit = Math.min(
        fit,
        (x(first) - x(before)) / (half(before) + half(first) + 2 * w.web + w.main),
      );
    }
    set.forEach((b, i) => {
      const a = set[i - 1];
      if (a !== undefined) fit = Math.min(fit, (x(b) - x(a)) / (half(a) + half(b) + 0.25 * w.web));
    });
  });
  fit = Math.max(0.02, fit);
  const web = fit * w.web;
  const main = fit * w.main;
  const line = {
    mains: [] as Stretch[],
    webs: [] as Stretch[],
    pins: [] as Stretch[],
    from: NaN,
    to: 0,
  };
  let at = NaN;
  for (const set of sets) {
    const first = set[0] ?? 0;
    const last = set.at(-1) ?? 0;
    const left = x(first) - fit * half(first);
    const right = x(last) + fit * half(last);
    if (Number.isNaN(at)) line.from = at = left - web - main;
    line.mains.push({ from: at, to: left - web, throws: [] });
    line.webs.push({ from: left - web, to: left, throws: [first] });
    set.forEach((k, i) => {
      line.pins.push({ from: x(k) - fit * half(k), to: x(k) + fit * half(k), throws: [k] });
      const a = set[i - 1];
      if (a !== undefined) {
        line.webs.push({ from: x(a) + fit * half(a), to: x(k) - fit * half(k), throws: [a, k] });
      }
    });
    line.webs.push({ from: right, to: right + web, throws: [last] });
    at = right + web;
  }
  line.to = at + main;
  line.mains.push({ from: at, to: line.to, throws: [] });
  return { line, fit };
}

/** The throws that stand between two main journals, along the crank. */
function throwSets(train: Train): number[][] {
  const order = train.throws.map((t) => t.index);
  order.sort((a, b) => (train.throws[a]?.x ?? 0) - (train.throws[b]?.x ?? 0));
  const sets: number[][] = [];
  for (const i of order) {
    const last = sets.at(-1);
    const before = last?.at(-1);
    if (last && before !== undefined && train.throws[before]?.pair === train.throws[i]?.pair)
      last.push(i);
    else sets.push([i]);
  }
  return sets;
}

/** How long a crankpin is: for all rods that stand on it. */
function pinWidth(train: Train, w: Wanted, index: number): number {
  const xs = train.cylinders.filter((c) => c.throw === index).map((c) => c.x);
  if (xs.length === 0) return w.pinWidth;
  return Math.max(w.pinWidth, Math.max(...xs) - Math.min(...xs) + 1.06 * w.rodWidth);
}
