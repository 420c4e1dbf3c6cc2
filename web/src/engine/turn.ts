import type { Edit, Field, Geometry } from "../api/types";
import { readList, writeList } from "./quantity";

// What dragging in the end view means: angles from pointer places, snapping, and the edits that a
// turned throw or bank comes to. Angles are counted from +z about +x, so that on the screen (seen
// from the drive end) they grow anticlockwise from the top; a clockwise engine is the mirror image.

export interface Point {
  x: number;
  y: number;
}

/** Angle of a point about a centre, both on the screen with y downwards; 0 up to 360. */
export function angleAt(p: Point, centre: Point, clockwise: boolean): number {
  const right = (p.x - centre.x) * (clockwise ? -1 : 1);
  const up = centre.y - p.y;
  return wrap((Math.atan2(-right, up) * 180) / Math.PI);
}

/** Direction of an angle on the screen with y downwards. */
export function onScreen(deg: number, clockwise: boolean): Point {
  const a = (deg * Math.PI) / 180;
  return { x: -Math.sin(a) * (clockwise ? -1 : 1), y: -Math.cos(a) };
}

/** Degrees in [0, 360), without the dust of rounding. */
export function wrap(deg: number): number {
  const w = ((deg % 360) + 360) % 360;
  const r = Math.round(w * 1e9) / 1e9;
  return r === 360 ? 0 : r;
}

/** Degrees in (-180, 180]. */
export function signed(deg: number): number {
  const w = wrap(deg);
  return w > 180 ? w - 360 : w;
}

/** To the next multiple of 1°, or of 5° when coarse. */
export function snap(deg: number, coarse: boolean): number {
  const step = coarse ? 5 : 1;
  return Math.round(deg / step) * step + 0;
}

/** A drag that turns: follows the pointer past a full turn without a jump. */
export class Turning {
  readonly start: number;
  #last: number;
  #moved = 0;

  constructor(start: number, pointer: number) {
    this.start = start;
    this.#last = pointer;
  }

  /** The angle that the handle should take, snapped. */
  to(pointer: number, coarse: boolean): number {
    this.#moved += signed(pointer - this.#last);
    this.#last = pointer;
    return snap(this.start + this.#moved, coarse);
  }
}

/** Degrees that a key moves a handle; null for keys that do not. */
export function keyStep(key: string, shift: boolean): number | null {
  const step = shift ? 10 : 1;
  switch (key) {
    case "ArrowRight":
    case "ArrowUp":
      return step;
    case "ArrowLeft":
    case "ArrowDown":
      return -step;
    case "PageUp":
      return 10;
    case "PageDown":
      return -10;
    default:
      return null;
  }
}

/** A thing in the end view that turns. */
export interface Handle {
  id: string;
  kind: "throw" | "split" | "bank";
  /** Index of the throw, or of the bank's first cylinder. */
  index: number;
  label: string;
  /** Angle in the file's sense at crank angle 0. */
  deg: number;
  /** What it is set to: the throw's angle, the pin split or the bank angle. */
  value: number;
  least: number;
  most: number;
}

function fieldOf(fields: Field[], path: string): Field | undefined {
  return fields.find((f) => f.path === path);
}

/** Which handles the end view of an engine has. */
export function handlesOf(g: Geometry, arrangement: string, fields: Field[]): Handle[] {
  const custom = arrangement === "custom";
  const out: Handle[] = [];
  const perRod = !custom && pinCount(fields) === g.throws.length;
  g.throws.forEach((t, i) => {
    if (custom || isFirst(g, i) || perRod) {
      out.push({
        id: `throw-${i}`,
        kind: "throw",
        index: i,
        label: `Throw ${t.name}`,
        deg: t.angle_deg,
        value: wrap(t.angle_deg),
        least: 0,
        most: 359,
      });
    } else if (arrangement === "vee" && g.throws[t.pair]) {
      const split = signed((g.throws[t.pair]?.angle_deg ?? 0) - t.angle_deg);
      out.push({
        id: `split-${i}`,
        kind: "split",
        index: i,
        label: `Pin split at ${t.name}`,
        deg: t.angle_deg,
        value: split,
        least: -180,
        most: 180,
      });
    }
  });
  if (custom) {
    for (const [i, c] of g.cylinders.entries()) {
      const same = g.cylinders.findIndex((o) => sameAxis(o.axis_deg, c.axis_deg));
      if (same !== i) continue;
      const names = g.cylinders.filter((o) => sameAxis(o.axis_deg, c.axis_deg)).map((o) => o.name);
      out.push({
        id: `bank-${i}`,
        kind: "bank",
        index: i,
        label: `Axis of cylinder${names.length > 1 ? "s" : ""} ${names.join(", ")}`,
        deg: c.axis_deg,
        value: signed(c.axis_deg),
        least: -180,
        most: 180,
      });
    }
  } else if (arrangement === "vee") {
    for (const bank of [0, 1]) {
      const i = g.cylinders.findIndex((c) => c.bank === bank);
      const c = g.cylinders[i];
      if (!c) continue;
      const angle = 2 * Math.abs(signed(c.axis_deg));
      out.push({
        id: `bank-${i}`,
        kind: "bank",
        index: i,
        label: `Bank ${bank + 1}: bank angle`,
        deg: c.axis_deg,
        value: Math.round(angle * 1e6) / 1e6,
        least: 1,
        most: 359,
      });
    }
  }
  return out;
}

function sameAxis(a: number, b: number): boolean {
  return Math.abs(signed(a - b)) < 1e-6;
}

function pinCount(fields: Field[]): number {
  const pins = fieldOf(fields, "layout.pins");
  if (pins) {
    const list = readList(pins.text);
    if (list) return list.items.length;
  }
  return fields.filter((f) => /^layout\.pins\[\d+\]$/.test(f.path)).length;
}

/** The value that a handle takes when its own direction should be deg. */
export function valueFor(h: Handle, deg: number, g: Geometry, arrangement: string): number {
  if (h.kind === "throw") return wrap(deg);
  if (h.kind === "split") {
    const main = g.throws[g.throws[h.index]?.pair ?? -1];
    return signed((main?.angle_deg ?? 0) - deg);
  }
  if (arrangement === "custom") return signed(deg);
  const away = h.deg < 0 || h.deg > 180 ? -signed(deg) : signed(deg);
  return Math.min(h.most, Math.max(h.least, 2 * away));
}

/** The edits that set a handle to a value. */
export function editsFor(
  h: Handle,
  value: number,
  g: Geometry,
  arrangement: string,
  fields: Field[],
): Edit[] {
  const deg = `${round(value)} deg`;
  if (arrangement === "custom") {
    if (h.kind === "throw") return [{ path: `layout.throws[${h.index}].angle`, text: deg }];
    const axis = g.cylinders[h.index]?.axis_deg ?? 0;
    return g.cylinders.flatMap((c, i) =>
      sameAxis(c.axis_deg, axis) ? [{ path: `layout.cylinders[${i}].axis`, text: deg }] : [],
    );
  }
  if (h.kind === "bank") return [{ path: "layout.bank_angle", text: deg }];
  if (h.kind === "split") return [{ path: "layout.pin_split", text: deg }];
  const perRod = pinCount(fields) === g.throws.length;
  const firsts = g.throws.map((_, i) => i).filter((i) => perRod || isFirst(g, i));
  const at = firsts.indexOf(h.index);
  const list = readList(fieldOf(fields, "layout.pins")?.text ?? "");
  const own = fieldOf(fields, `layout.pins[${at}]`);
  if (own?.given || (list && fieldOf(fields, "layout.pins")?.given)) {
    const unit = list?.unit ?? "";
    return [{ path: `layout.pins[${at}]`, text: unit ? String(round(value)) : deg }];
  }
  // A word such as cross-plane, or nothing: the whole list is written out.
  const items = firsts.map((i) =>
    String(round(i === h.index ? value : wrap(g.throws[i]?.angle_deg ?? 0))),
  );
  return [{ path: "layout.pins", text: writeList(items, "deg") }];
}

function isFirst(g: Geometry, i: number): boolean {
  const pair = g.throws[i]?.pair ?? -1;
  return pair === i || pair < 0;
}

function round(x: number): number {
  return Math.round(x * 1e6) / 1e6;
}

/** The geometry as it will be when the handle has moved, to draw at once; the server's follows. */
export function turned(g: Geometry, h: Handle, value: number, arrangement: string): Geometry {
  if (h.kind === "bank") {
    const now = g.cylinders[h.index]?.axis_deg ?? 0;
    return {
      ...g,
      cylinders: g.cylinders.map((c) => {
        if (arrangement === "custom")
          return sameAxis(c.axis_deg, now) ? { ...c, axis_deg: value } : c;
        return { ...c, axis_deg: ((c.bank === 0 ? -1 : 1) * value) / 2 };
      }),
    };
  }
  const throws = g.throws.map((t, i) => {
    if (h.kind === "throw" && i === h.index) return { ...t, angle_deg: value };
    if (h.kind === "throw" && t.pair === h.index)
      return { ...t, angle_deg: wrap(t.angle_deg + value - (g.throws[h.index]?.angle_deg ?? 0)) };
    if (h.kind === "split" && t.pair !== i && t.pair >= 0)
      return { ...t, angle_deg: wrap((g.throws[t.pair]?.angle_deg ?? 0) - value) };
    return t;
  });
  return { ...g, throws };
}
