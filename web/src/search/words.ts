// What the page of the search says, made of what the server sends.

import type { StudyColumn, StudyPhasingsDoc, StudyRefined } from "../api/types";
import { shown, unitOf, withUnit } from "../ui/numbers";
import type { Brushes } from "./brush";
import { short } from "./brush";

/** A whole number with its thousands apart. */
export function counted(n: number | string): string {
  return String(typeof n === "number" ? Math.round(n) : n).replace(
    /\B(?=(\d{3})+(?!\d))/g,
    "\u202f",
  );
}

/** How many of something, in words. */
export function many(n: number, what: string): string {
  return `${counted(n)} ${what}${n === 1 ? "" : "s"}`;
}

/** A time as people say it. */
export function duration(seconds: number): string {
  if (!(seconds > 0) || !Number.isFinite(seconds)) return "";
  if (seconds < 1) return "less than 1 s";
  const s = Math.round(seconds);
  if (s < 100) return `${s} s`;
  const min = Math.round(s / 60);
  if (min < 100) return `${min} min`;
  const h = Math.floor(min / 60);
  if (h < 48) return `${h} h ${min % 60} min`;
  return `${Math.round(h / 24)} days`;
}

/** A time that is only roughly known. */
export function roughly(seconds: number): string {
  const text = duration(seconds);
  return text === "" || text.startsWith("less") ? text : `about ${text}`;
}

/** What is known of the phasings of a study. */
export function phasingWords(p: StudyPhasingsDoc): string {
  const agree =
    p.burnside_1 === String(p.distinct_1)
      ? "Burnside’s lemma gives the same number"
      : `Burnside’s lemma gives ${counted(p.burnside_1)}`;
  return `${many(p.distinct_1, "distinct phasing")} of ${many(p.throws_1, "throw")} in steps of ${withUnit(p.step_deg, "deg")}, of ${counted(p.all_1)} in all; ${agree}. ${p.words.join(" ")}`;
}

/** A value of a column as people read it; without its unit where that stands elsewhere. */
export function valueWords(c: StudyColumn, v: number | null | undefined, unit = true): string {
  if (v === null || v === undefined || Number.isNaN(v)) return "–";
  if (c.words) return c.words[Math.round(v)] ?? "–";
  return unit ? withUnit(v, c.unit) : shown(v);
}

/** Name and unit of a column. */
export function heading(c: StudyColumn): string {
  const unit = c.words || c.values > 0 ? "" : unitOf(c.unit);
  return unit ? `${c.name} [${unit}]` : c.name;
}

/** A number with its unit as a filter takes it. */
function bound(c: StudyColumn, v: number): string {
  return c.unit === "1" ? short(v) : `${short(v)} ${c.unit}`;
}

/** The words of a column whose numbers are within the ranges. */
function wordsWithin(words: string[], ranges: Brushes[string]): string[] {
  return words.filter((_, i) => (ranges ?? []).some((r) => i >= r.low && i <= r.high));
}

/** What is brushed as a filter in trade words. */
export function filterWords(brushes: Brushes, columns: StudyColumn[]): string {
  const parts: string[] = [];
  for (const [key, ranges] of Object.entries(brushes)) {
    const c = columns.find((x) => x.key === key);
    if (!c || ranges.length === 0) continue;
    let one: string[];
    if (c.words)
      one = wordsWithin(c.words, ranges).map((w) =>
        w.includes("'") ? `${key} = "${w}"` : `${key} = '${w}'`,
      );
    else
      one = ranges.map((r) =>
        r.low === r.high
          ? `${key} = ${bound(c, r.low)}`
          : `${key} >= ${bound(c, r.low)} and ${key} <= ${bound(c, r.high)}`,
      );
    if (one.length === 0) continue;
    if (one.length === 1 && one[0] !== undefined) parts.push(one[0]);
    else parts.push(`(${one.join(" or ")})`);
  }
  return parts.join(" and ");
}

/** What is brushed, as a sentence. */
export function brushWords(c: StudyColumn, ranges: Brushes[string]): string {
  if (c.words) {
    const words = wordsWithin(c.words, ranges);
    return words.length > 4 ? `${words.length} of ${c.words.length}` : words.join(", ");
  }
  return (ranges ?? [])
    .map((r) => `${withUnit(r.low, c.unit)} to ${withUnit(r.high, c.unit)}`)
    .join(" or ");
}

/** Columns that tell candidates apart: those that vary and those that are wanted. */
export function telling(columns: StudyColumn[]): StudyColumn[] {
  const first = columns.filter((c) => c.kind === "input");
  const wanted = columns.filter((c) => c.kind === "figure" && c.better !== "neither");
  const rest = columns.filter((c) => c.kind === "figure" && c.better === "neither");
  return [...first, ...wanted, ...rest];
}

/** A value that the server wrote, with its unit. */
export function wordsWithUnit(text: string, unit: string): string {
  const u = unitOf(unit);
  return u === "" ? text : u === "°" ? text + u : `${text}\u00a0${u}`;
}

/** What became of a figure of a refined candidate, against what is wanted of it. */
export function refinedWords(f: StudyRefined["figures"][number]): string {
  if (f.change === "same") return "the same";
  if (f.wanted === "limit") return f.change + ", within its limit";
  return `${f.change}, ${f.change === f.wanted ? "better" : "worse"}`;
}

/** What a refinement found, in a sentence. */
export function refinementWords(r: StudyRefined, toward: string): string {
  const tried = `${counted(r.evaluations)} ${r.evaluations === 1 ? "engine" : "engines"} analysed`;
  if (!r.better)
    return `Nothing better was found, ${tried}: between its steps no engine near it is better in ${
      toward ? `“${toward}”` : "some aim"
    }, no worse in the others, and keeps what is required.`;
  return `Better, ${tried}: ${
    toward ? `“${toward}” is better` : "some aim is better"
  }, none is worse, and everything required is kept.`;
}
