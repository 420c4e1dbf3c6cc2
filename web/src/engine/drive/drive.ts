import type { EngineDocument } from "../../api/types";
import { cycleDeg } from "../cycle";
import type { SectionProps } from "../sections";

/** What a tool of the section on gas and torque is given. */
export interface DriveProps extends SectionProps {
  /** It is looked at, and the engine can be evaluated: only then it asks. */
  active: boolean;
  /** Brake torque over that of full load [%]; 0 runs light. */
  load: number;
  /** Cylinders that are switched off, besides those of the file. */
  off: string[];
}

/** What a tool asks with, beyond the engine and its speed. */
export function workOf(load: number, off: string[]): { load_percent: number; off: string[] } {
  return { load_percent: load, off };
}

/** The names of a list as the file has it: "[1, '2']". */
export function namesIn(text: string): string[] {
  return text
    .replace(/^\s*\[|\]\s*$/g, "")
    .split(",")
    .map((n) => n.trim().replace(/^(["'])(.*)\1$/, "$2"))
    .filter(Boolean);
}

/** Angle of a cylinder after its firing top dead centre [deg], half a cycle either way. */
export function fromFiring(doc: EngineDocument, cylinder: string, deg: number): number | undefined {
  const at = doc.firing.at_deg[doc.firing.order.indexOf(cylinder)];
  if (at === undefined) return undefined;
  const p = cycleDeg(doc);
  return ((((deg - at + p / 2) % p) + p) % p) - p / 2;
}

/** A curve of a cycle with its middle first, put so that the middle stands in the middle; closed at the end. */
export function centred(values: readonly number[]): number[] {
  const half = Math.floor(values.length / 2);
  const turned = [...values.slice(half), ...values.slice(0, half)];
  return turned.length > 0 ? [...turned, turned[0] ?? 0] : turned;
}

/** Value of a closed curve at a place, its first value at 0 and so many to the cycle. */
export function along(values: readonly number[], deg: number, cycle: number): number {
  const n = values.length;
  if (n === 0) return 0;
  const place = ((((deg / cycle) * n) % n) + n) % n;
  const i = Math.floor(place) % n;
  const f = place - Math.floor(place);
  return (values[i] ?? 0) * (1 - f) + (values[(i + 1) % n] ?? 0) * f;
}

/** 2.4 × 10⁻¹⁰ for what is next to nothing. */
export function small(x: number): string {
  if (x === 0) return "0";
  const [digits = "", power = "0"] = Math.abs(x).toExponential(1).split("e");
  const up = String(Number(power)).replace(
    /[-0-9]/g,
    (c) => "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"["-0123456789".indexOf(c)] ?? c,
  );
  return `${digits} × 10${up}`;
}

/** A value, or 0 where it is only what rounding leaves beside another. */
export function beside(value: number, other: number): number {
  return Math.abs(value) < 1e-6 * Math.abs(other) ? 0 : value;
}
