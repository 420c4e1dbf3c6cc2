import type { BearingsDoc, RoomDoc, RoomPart, StrengthDoc, TorsionDoc } from "../../api/types";
import type { CrankUse } from "../../scene";
import type { DriveProps } from "../drive/drive";
import { digits } from "../numbers";

/** What a tool of the section on crank and bearings is given. */
export type LastingProps = DriveProps;

/** Whether a part of the crank has less room than it needs. */
export function short(p: RoomPart): boolean {
  return p.slack_mm < -1e-3;
}

/** The main journals, from the free end. */
export function mainsOf(d: RoomDoc): RoomPart[] {
  return d.parts.filter((p) => p.kind === "main journal");
}

/** Uses of the parts of a crank for its colours: webs by strength, mains and pins by their linings. */
export function usesOf(
  throws: readonly string[],
  cylinderThrow: ReadonlyMap<string, string>,
  strength: StrengthDoc | undefined,
  bearings: BearingsDoc | undefined,
): CrankUse {
  const share = (pct: number): number | null => (pct > 0 ? pct / 100 : null);
  const pins: (number | null)[] = throws.map(() => null);
  for (const b of bearings?.big_ends ?? []) {
    const at = throws.indexOf(cylinderThrow.get(b.cylinders?.[0] ?? "") ?? "");
    if (at < 0) continue;
    const use = share(b.use_pct);
    if (use !== null) pins[at] = Math.max(pins[at] ?? 0, use);
  }
  return {
    webs: (strength?.webs ?? []).map((w) => share(w.use_pct)),
    mains: (bearings?.mains ?? []).map((b) => share(b.use_pct)),
    pins,
  };
}

/** How much of what it bears a part takes, in percent; what is beyond all of it never reads as all of it, nor the other way. */
export function shareText(share: number): string {
  if (share < 1e-3) return "<\u00a00.1\u00a0%";
  const text = digits(100 * share);
  const sign = text !== "100" || share === 1 ? "" : share > 1 ? ">\u00a0" : "<\u00a0";
  return `${sign}${text}\u00a0%`;
}

export interface Ray {
  order: number;
  /** Frequency at the right end of the axis [Hz]. */
  end: number;
}

/** Order rays that cross a picture of speeds and frequencies: frequency = order × speed. */
export function raysOf(d: TorsionDoc, most: number): Ray[] {
  const orders = [...new Set(d.critical_speeds.map((c) => c.order))].sort((a, b) => a - b);
  return orders.map((order) => ({ order, end: (order * most) / 60 }));
}

/** Largest frequency worth drawing [Hz]: the third elastic mode, or what the highest order reaches. */
export function topFrequency(d: TorsionDoc, most: number): number {
  const elastic = d.modes.filter((m) => m.frequency_Hz > 0).map((m) => m.frequency_Hz);
  const reach = (12 * most) / 60;
  const inReach = elastic.filter((f) => f <= reach);
  const top = inReach.at(-1) ?? elastic[0] ?? reach;
  return Math.min(Math.max(1.15 * top, 1.05 * (elastic[0] ?? 0)), Math.max(reach, 1.05 * top));
}

/** Vectors put one on the tip of the other: where each begins and ends. */
export function chained(parts: readonly [number, number][]): { x: number; y: number }[] {
  let x = 0;
  let y = 0;
  const out = [{ x, y }];
  for (const [re, im] of parts) {
    x += re;
    y += im;
    out.push({ x, y });
  }
  return out;
}

/** The most that a trace of a plane reaches from its middle. */
export function reachOf(x: readonly number[], y: readonly number[]): number {
  let most = 0;
  for (let i = 0; i < x.length; i++) most = Math.max(most, Math.hypot(x[i] ?? 0, y[i] ?? 0));
  return most;
}
