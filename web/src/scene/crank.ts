import { rad, type Train } from "../kin";
import type { CrankUse } from "./options";
import { finish, useColour } from "./palette";
import { steel, type Sizes, type Stretch } from "./sizes";
import { disc, fan, hull, Solid } from "./solid";

/**
 * The crank at crank angle 0. A counterweight is a fan of steel as thick as its web, as large as its
 * unbalance asks for; where it would meet a piston it stays smaller, which the scene's notes say.
 */
export function crankSolid(
  train: Train,
  z: Sizes,
  use: CrankUse | null = null,
): { solid: Solid; limited: boolean } {
  const s = new Solid(z.detail);
  const pinAt = (i: number) => {
    const t = train.throws[i];
    if (!t) return { y: 0, z: 0 };
    return { y: -Math.sin(t.angle) * t.radius, z: Math.cos(t.angle) * t.radius };
  };
  const { line } = z;
  const ends = [line.mains[0], line.mains.at(-1)];
  const paint = (uses: readonly (number | null)[] | undefined, i: number, plain: string) =>
    uses ? useColour(uses[i]) : plain;
  line.mains.forEach((m, i) =>
    s.cylinder(z.main / 2, m.from, m.to, paint(use?.mains, i, finish.journal)),
  );
  for (const p of line.pins) {
    const at = pinAt(p.throws[0] ?? 0);
    const colour = paint(use?.pins, p.throws[0] ?? 0, finish.journal);
    s.cylinder(z.pin / 2, p.from, p.to, colour, at.y, at.z);
  }
  let beside = 0; // webs beside the mains so far
  for (const w of line.webs) {
    const colour =
      w.throws.length > 1
        ? paint(use ? [] : undefined, 0, finish.web)
        : paint(use?.webs, beside++, finish.web);
    web(s, w, z, pinAt, colour);
  }
  // the nose, and the flange that carries the flywheel
  const [first, last] = ends;
  if (first && last) {
    const nose = 0.3 * z.bore;
    s.cylinder(0.36 * z.main, first.from - nose, first.from + 0.001, finish.journal);
    s.cylinder(0.4 * z.main, first.from - 0.3 * nose, first.from + 0.001, finish.web);
    s.cylinder(0.66 * z.main, last.to - 0.001, last.to + 0.09 * z.bore, finish.web);
  }
  // counterweights would hide the parts whose use is shown
  return { solid: s, limited: use ? false : counterweights(s, train, z) };
}

function web(
  s: Solid,
  w: Stretch,
  z: Sizes,
  pinAt: (i: number) => { y: number; z: number },
  colour: string,
): void {
  const [a, b] = w.throws;
  if (a === undefined) return;
  const r = 0.625 * z.pin;
  const from = b === undefined ? { y: 0, z: 0, r: z.webWidth / 2 } : { ...pinAt(a), r };
  const to = { ...pinAt(b ?? a), r };
  s.prism(hull(from, to), w.from, w.to, colour, 0.014 * z.bore);
  if (b === undefined) {
    // the raised seat of the main journal
    const inside = Math.abs(w.from - (z.line.pins.find((p) => p.throws[0] === a)?.to ?? 0)) > 1e-9;
    const x = inside ? w.from - 0.008 * z.bore : w.to - 0.001;
    s.cylinder(0.6 * z.main, x, x + 0.008 * z.bore + 0.001, finish.journal);
  }
}

interface Load {
  from: number;
  to: number;
  y: number;
  z: number;
  free: boolean;
}

/** Gathers counterweights by the web that carries them and draws one fan for each. */
function counterweights(s: Solid, train: Train, z: Sizes): boolean {
  const loads = new Map<string, Load>();
  const put = (
    key: string,
    from: number,
    to: number,
    free: boolean,
    angle: number,
    amount: number,
  ) => {
    const load = loads.get(key) ?? { from, to, y: 0, z: 0, free };
    load.y -= Math.sin(angle) * amount;
    load.z += Math.cos(angle) * amount;
    loads.set(key, load);
  };
  for (const c of train.counterweights) {
    const own = z.line.webs.filter((w) => c.throw >= 0 && w.throws.includes(c.throw));
    const first = own[0];
    const last = own.at(-1);
    const middle = train.throws[c.throw]?.x;
    if (first && last && middle !== undefined && Math.abs(c.x - middle) < 0.02 * z.bore) {
      for (const w of [first, last])
        put(`w${w.from}`, w.from, w.to, false, c.angle, c.unbalance / 2);
      continue;
    }
    const near = nearest(own.length > 0 ? own : z.line.webs, c.x);
    if (near && (own.length > 0 || Math.abs((near.from + near.to) / 2 - c.x) < 0.8 * z.web)) {
      put(`w${near.from}`, near.from, near.to, false, c.angle, c.unbalance);
    } else {
      put(`x${c.x}`, c.x - z.web / 2, c.x + z.web / 2, true, c.angle, c.unbalance);
    }
  }
  let limited = false;
  for (const load of loads.values()) limited = counterweight(s, load, z) || limited;
  return limited;
}

function nearest(webs: readonly Stretch[], x: number): Stretch | undefined {
  const away = (w: Stretch) => Math.abs((w.from + w.to) / 2 - x);
  return [...webs].sort((a, b) => away(a) - away(b))[0];
}

/** U = ρ t ⅔ sin α (R³ − r³) for a fan of half angle α; true where it had to stay smaller. */
function counterweight(s: Solid, load: Load, z: Sizes): boolean {
  const amount = Math.hypot(load.y, load.z);
  if (!(amount > 0)) return false;
  const inset = load.free ? 0 : 0.09 * (load.to - load.from);
  const thick = load.to - load.from - 2 * inset;
  const inner = load.free ? 0.56 * z.main : 0.4 * z.webWidth;
  const radius = (half: number) =>
    Math.cbrt(amount / ((2 / 3) * steel * thick * Math.sin(half)) + inner ** 3);
  let half = rad(52);
  while (radius(half) > z.counterweightReach && half < rad(84)) half += rad(2);
  const wanted = radius(half);
  const outer = Math.min(wanted, z.counterweightReach);
  const direction = Math.atan2(-load.y, load.z);
  const from = load.from + inset;
  const shape = fan(direction, half, Math.max(outer, 1.04 * inner), inner, Math.max(half, rad(80)));
  s.prism(shape, from, from + thick, finish.counterweight, 0.012 * z.bore);
  if (load.free) s.prism(disc({ y: 0, z: 0, r: inner }), from, from + thick, finish.counterweight);
  return outer < 0.999 * wanted;
}
