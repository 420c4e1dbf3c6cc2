import type { BriefDoc, Edit, LimitDoc, MeasureInfo, PriorityDoc } from "../api/types";

// What a reader does to a brief, as edits by key: what the file says beside them, comments included, stays.

/** A weight from 0 to 10; low = high: everybody agrees. */
export interface Weight {
  low: number;
  high: number;
}

/** Most points of a priority. */
export const most = 10;

/** A number as a file has it: no more digits than count, no exponent where none is needed. */
export function plain(v: number, digits = 6): string {
  return String(Number(v.toPrecision(digits)));
}

export function weightText(w: Weight): string {
  const low = plain(w.low);
  const high = plain(w.high);
  return low === high ? low : `[${low}, ${high}]`;
}

/** What weightText wrote; undefined: something else. */
export function readWeight(text: string): Weight | undefined {
  const m = /^\[?\s*([\d.]+)\s*(?:,\s*([\d.]+)\s*\])?$/.exec(text.trim());
  if (!m) return undefined;
  const low = Number(m[1]);
  const high = m[2] === undefined ? low : Number(m[2]);
  return Number.isFinite(low) && Number.isFinite(high) ? { low, high } : undefined;
}

/** Moves one end of a weight; the other gives way. */
export function moveEnd(w: Weight, end: "low" | "high" | "both", to: number): Weight {
  const at = Math.min(most, Math.max(0, to));
  if (end === "both") return { low: at, high: at };
  return end === "low"
    ? { low: at, high: Math.max(at, w.high) }
    : { low: Math.min(at, w.low), high: at };
}

/** A range around a number on which people begin to disagree, or the middle of a range on which they agree. */
export function switched(w: Weight): Weight {
  if (w.low === w.high)
    return { low: Math.max(0, w.low - 2), high: Math.min(most, Math.max(w.high + 2, 2)) };
  const middle = Math.round(w.low + w.high) / 2;
  return { low: middle, high: middle };
}

/** A unit as a file has it. */
function unitText(unit: string): string {
  if (unit === "1") return "";
  return unit === "kg m²" ? "kg m2" : unit;
}

/** A value of a measure as a file has it. */
export function valueText(v: number, unit: string): string {
  const u = unitText(unit);
  return u === "" ? plain(v) : `${plain(v)} ${u}`;
}

/** One bound as it stands in the fields: a side, and a value with its unit. */
export interface Bound {
  side: LimitDoc["side"];
  text: string;
}

const sign = { "at most": "<=", "at least": ">=" } as const;

/** The bounds of one measure as the file has them. */
export function boundsText(bounds: Bound[]): string {
  const all = bounds.map((b) => `${sign[b.side]} ${b.text.trim()}`);
  return all.length === 1 ? (all[0] ?? "") : `[${all.map((t) => JSON.stringify(t)).join(", ")}]`;
}

/** Bounds of a measure, as the brief has them. */
function boundsOf(brief: BriefDoc, measure: string): Bound[] {
  return brief.limits
    .filter((l) => l.measure === measure)
    .map((l) => ({ side: l.side, text: valueText(l.bound, l.unit) }));
}

export interface Part {
  measure: string;
  share: number;
}

/** What a priority is made of, as the file has it. */
export function partsText(parts: Part[]): string {
  return `{${parts.map((p) => `${p.measure}: ${plain(p.share, 4)}`).join(", ")}}`;
}

/** A point of a value function as it stands in the fields. */
export interface WorthPoint {
  at: string;
  worth: number;
}

/** A value function as the file has it: worst and best where it is one straight line from 0 to 1. */
export function worthText(points: WorthPoint[]): string {
  const worst = points.find((p) => p.worth === 0);
  const best = points.find((p) => p.worth === 1);
  if (points.length === 2 && worst && best)
    return `{worst: ${scalar(worst.at)}, best: ${scalar(best.at)}}`;
  return `[${points.map((p) => `{at: ${scalar(p.at)}, worth: ${plain(p.worth, 4)}}`).join(", ")}]`;
}

/** A text between others: in quotes where its signs would mean something there. */
function scalar(text: string): string {
  const t = text.trim();
  return /^[\p{L}\p{N}.+-][\p{L}\p{N}. %°µ²/+-]*$/u.test(t) ? t : JSON.stringify(t);
}

/** Takes a priority out, with all that the brief says of it. */
export function withoutPriority(p: PriorityDoc): Edit[] {
  const out: Edit[] = [{ path: `priorities.${p.key}` }];
  if (p.why) out.push({ path: `why.${p.key}` });
  if (p.own) out.push({ path: `made_of.${p.key}` });
  return out;
}

/** Takes one bound out; with the last one goes its reason, unless a priority of the same key needs it. */
export function withoutBound(brief: BriefDoc, measure: string, side: LimitDoc["side"]): Edit[] {
  const left = boundsOf(brief, measure).filter((b) => b.side !== side);
  if (left.length > 0) return [{ path: `limits.${measure}`, text: boundsText(left) }];
  const out: Edit[] = [{ path: `limits.${measure}` }];
  const why = brief.limits.find((l) => l.measure === measure)?.why;
  if (why && !brief.priorities.some((p) => p.key === measure)) out.push({ path: `why.${measure}` });
  return out;
}

/** Changes the value or side of one bound. */
export function withBound(brief: BriefDoc, limit: LimitDoc, to: Bound): Edit[] {
  const bounds = brief.limits
    .filter((l) => l.measure === limit.measure)
    .map((l) => (l.side === limit.side ? to : { side: l.side, text: valueText(l.bound, l.unit) }));
  return [{ path: `limits.${limit.measure}`, text: boundsText(bounds) }];
}

/** The side on which a limit of a measure usually lies. */
export function usualSide(m: MeasureInfo): LimitDoc["side"] {
  return m.better === "more" ? "at least" : "at most";
}

/** The reason of a limit or priority; an empty one is left out. */
export function whyEdit(key: string, text: string): Edit {
  const t = text.replaceAll(/\s+/g, " ").trim();
  return t === "" ? { path: `why.${key}` } : { path: `why.${key}`, text: t };
}

/** The priorities of a brief as the fields show them: weights that the server has not answered yet are there. */
export function shownPriorities(brief: BriefDoc, edits: Edit[]): PriorityDoc[] {
  const by = new Map(edits.map((e) => [e.path, e]));
  return brief.priorities.flatMap((p) => {
    const e = by.get(`priorities.${p.key}`);
    if (!e) return [p];
    if (e.text === undefined) return [];
    const w = readWeight(e.text);
    return [w ? { ...p, low_points: w.low, high_points: w.high } : p];
  });
}
