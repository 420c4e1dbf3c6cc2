import type { Field } from "../api/types";

// What somebody types into a field, read the way the server will read it. The text goes to the server as
// typed; what stands here is for the line under the field while it is being typed, and for sliders.

/** Exponents in metre, kilogram, second and turn angle. */
type Powers = readonly [m: number, kg: number, s: number, rad: number];

interface Unit {
  factor: number;
  powers: Powers;
}

const inch = 0.0254;
const pound = 0.45359237;
const gravity = 9.80665;

const units: Record<string, Unit> = {};
function define(factor: number, powers: Powers, ...names: string[]): void {
  for (const name of names) units[name] = { factor, powers };
}
const length: Powers = [1, 0, 0, 0];
const mass: Powers = [0, 1, 0, 0];
const time: Powers = [0, 0, 1, 0];
const angle: Powers = [0, 0, 0, 1];
const speed: Powers = [0, 0, -1, 1];
const force: Powers = [1, 1, -2, 0];
const pressure: Powers = [-1, 1, -2, 0];
const none: Powers = [0, 0, 0, 0];
define(1, length, "m");
define(1e-3, length, "mm");
define(1e-2, length, "cm");
define(0.1, length, "dm");
define(1e-6, length, "um", "µm", "μm");
define(inch, length, "in", "inch", "inches");
define(12 * inch, length, "ft");
define(1, mass, "kg");
define(1e-3, mass, "g");
define(1e-6, mass, "mg");
define(1e3, mass, "t");
define(pound, mass, "lb", "lbs", "lbm");
define(pound / 16, mass, "oz");
define(1, time, "s");
define(1e-3, time, "ms");
define(60, time, "min");
define(3600, time, "h");
define(1, [0, 0, -1, 0], "Hz");
define(1, angle, "rad");
define(Math.PI / 180, angle, "deg", "°", "degree", "degrees");
define(2 * Math.PI, angle, "rev");
define((2 * Math.PI) / 60, speed, "rpm", "RPM");
define(1, force, "N");
define(1e3, force, "kN");
define(pound * gravity, force, "lbf");
define(1, pressure, "Pa");
define(1e3, pressure, "kPa");
define(1e6, pressure, "MPa");
define(1e5, pressure, "bar");
define((pound * gravity) / inch ** 2, pressure, "psi");
define(0.01, none, "%");
define(1, none, "1");

const raised: Record<string, string> = { "¹": "1", "²": "2", "³": "3", "⁴": "4", "⁻": "-" };

/** Reads a compound such as "kg m2", "kg·mm" or "1/min"; null where a part is unknown. */
export function parseUnit(text: string): Unit | null {
  const plain = text.replace(/[¹²³⁴⁻]/g, (c) => raised[c] ?? c);
  const u = { factor: 1, powers: [0, 0, 0, 0] as number[] };
  const parts = plain.split("/");
  if (parts.length > 2) return null;
  for (const [side, part] of parts.entries()) {
    const names = part.split(/[\s*·⋅×]+/).filter(Boolean);
    if (names.length === 0 && parts.length > 1) return null;
    for (const name of names) {
      const m = /^(°|%|1|[a-zA-Zµμ]+)\^?(-?[1-4])?$/.exec(name);
      const atom = m && units[m[1] ?? ""];
      if (!atom) return null;
      const n = Number(m[2] ?? 1) * (side ? -1 : 1);
      u.factor *= atom.factor ** n;
      atom.powers.forEach((p, i) => (u.powers[i] = (u.powers[i] ?? 0) + n * p));
    }
  }
  return { factor: u.factor, powers: u.powers as unknown as Powers };
}

function samePowers(a: Powers, b: Powers): boolean {
  return a.every((p, i) => p === b[i]);
}

/** What a text means in a field. */
export interface Reading {
  /** SI value; absent where the text cannot be read. */
  si?: number;
  /** What goes to the server: the text, with the usual unit where it has none. */
  text: string;
  /** Why it cannot be read. */
  wrong?: string;
}

const numberStart = /^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?/;

/** Reads the text of a quantity or count field. */
export function readQuantity(typed: string, field: Pick<Field, "units" | "kind">): Reading {
  const text = typed.trim();
  const usual = field.units?.[0];
  if (text === "") return { text, wrong: "The value is empty." };
  const body = text.replace("−", "-");
  const m = numberStart.exec(body);
  if (!m) return { text, wrong: `“${text}” is not a number.` };
  const rest = body.slice(m[0].length).trim();
  const number = Number(m[0]);
  if (rest.startsWith(",")) return { text, wrong: "Write a decimal point, not a comma." };
  if (!usual) {
    if (rest) return { text, wrong: "This takes a number without a unit." };
    if (field.kind === "count" && !Number.isInteger(number))
      return { text, wrong: "This takes a whole number." };
    return { text, si: number };
  }
  const home = parseUnit(usual);
  if (!home) return { text };
  if (!rest) return { text: `${body} ${usual}`, si: number * home.factor };
  const u = parseUnit(rest);
  if (!u) return { text, wrong: `Unknown unit “${rest}”; takes ${listed(field.units ?? [])}.` };
  const turns = samePowers(home.powers, speed) && samePowers(u.powers, [0, 0, -1, 0]);
  if (turns) return { text, si: number * u.factor * 2 * Math.PI };
  if (!samePowers(u.powers, home.powers))
    return { text, wrong: `“${rest}” does not fit here; takes ${listed(field.units ?? [])}.` };
  return { text, si: number * u.factor };
}

function listed(words: string[]): string {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} or ${words[words.length - 1]}`;
}

/** Writes an SI value in the usual unit of a field, with no more digits than carry anything. */
export function writeQuantity(si: number, unit: string | undefined, digits = 6): string {
  const u = unit ? parseUnit(unit) : null;
  const x = u ? si / u.factor : si;
  const n = plainNumber(x, digits);
  return unit && unit !== "1" ? `${n} ${unit}` : n;
}

/** A number of so many significant digits, never in powers of ten unless it must. */
function plainNumber(x: number, digits: number): string {
  if (x === 0 || !Number.isFinite(x)) return x === 0 ? "0" : String(x);
  const rounded = Number(x.toPrecision(digits));
  const size = Math.abs(rounded);
  return size >= 1e-6 && size < 1e15 ? String(rounded) : rounded.toExponential();
}

/** The unit that the field's own text ends in, so that a slider keeps what its owner chose. */
export function unitOf(field: Pick<Field, "text" | "units">): string | undefined {
  const rest = field.text.replace("−", "-").trim().replace(numberStart, "").trim();
  if (rest && parseUnit(rest)) return rest;
  return field.units?.[0];
}

/** What the typed text comes to in the usual unit; empty where it says nothing new. */
export function equivalent(typed: string, field: Pick<Field, "units" | "kind">): string {
  const r = readQuantity(typed, field);
  if (r.si === undefined || !field.units?.[0]) return "";
  const written = writeQuantity(r.si, field.units[0]);
  return written === typed.trim() ? "" : written;
}

/** The value of a slider after a step by keys or a drag: on the grid of its step, inside its ends. */
export function onGrid(si: number, f: Pick<Field, "least" | "most" | "step">): number {
  const least = f.least ?? -Infinity;
  const most = f.most ?? Infinity;
  const step = f.step ?? 0;
  const v = step > 0 ? Math.round(si / step) * step : si;
  return Math.min(most, Math.max(least, v));
}

/** The items of a list field, and the unit behind it: "[0, 180] deg" is 0, 180 and deg. */
export function readList(text: string): { items: string[]; unit: string } | null {
  // Lists of things that have parts of their own are not taken apart.
  const m = /^\s*\[([^\][{}]*)\]\s*([^\][{}]*)$/.exec(text);
  if (!m) return null;
  const body = (m[1] ?? "").trim();
  return { items: body ? body.split(",").map((s) => s.trim()) : [], unit: (m[2] ?? "").trim() };
}

export function writeList(items: string[], unit: string): string {
  return `[${items.join(", ")}]${unit ? ` ${unit}` : ""}`;
}

/** A text as it must stand in the file: quoted where YAML would read it otherwise, 1-3-4-2 as a list. */
export function fileText(typed: string, field: Pick<Field, "kind" | "path">): string {
  if (field.kind === "list") {
    const names = typed.split(/\s*[-,\s]\s*/);
    const plain = field.path === "layout.firing_order" && /^\w+(\s*[-,\s]\s*\w+)+$/.test(typed);
    return plain ? writeList(names, "") : typed;
  }
  if (field.kind !== "text") return typed;
  const special = /^[\s\-?:,[\]{}#&*!|>'"%@`]|: |:$| #|^[\d.+]|^(true|false|null|yes|no|~)$/i;
  return special.test(typed) ? JSON.stringify(typed) : typed;
}
