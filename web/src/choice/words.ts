import type { ChoiceDoc, ChosenDoc, CriterionDoc } from "../api/types";
import { unitOf } from "../ui/numbers";

// A choice in short texts and rows; the numbers come from the server.

/** A share of 1 in percent, whole from 10 on; what is not quite 0 or 100 does not look like it. */
export function percent(share: number): string {
  const p = 100 * share;
  if (p > 0 && p < 0.5) return "<\u202f1\u00a0%";
  if (p < 100 && p > 99.5) return ">\u202f99\u00a0%";
  return `${Math.round(p)}\u00a0%`;
}

/** Points, with one place behind the point. */
export function points(v: number): string {
  return v.toFixed(1).replace("-", "−");
}

/** Engines that stand by place, then those that are ruled out, the best of them first. */
export function ranked(doc: ChoiceDoc): ChosenDoc[] {
  const stand = doc.engines.filter((e) => e.place > 0);
  const out = doc.engines.filter((e) => e.place === 0);
  return [
    ...stand.sort((a, b) => a.place - b.place || b.points - a.points || order(a, b)),
    ...out.sort((a, b) => b.points - a.points || order(a, b)),
  ];
}

function order(a: ChosenDoc, b: ChosenDoc): number {
  return a.file < b.file ? -1 : 1;
}

/** What a verdict is called on the page, and how it looks. */
export const standings: Record<ChoiceDoc["verdict"]["standing"], { label: string; firm: boolean }> =
  {
    "none left": { label: "None is left", firm: false },
    "only one": { label: "Only one is left", firm: true },
    alike: { label: "Alike", firm: false },
    "not separable": { label: "Not separable", firm: false },
    likely: { label: "Likely", firm: false },
    clear: { label: "Clear", firm: true },
    certain: { label: "Certain", firm: true },
  };

/** A head with the unit behind it. */
export function headed(c: { name: string; unit: string }): string {
  const unit = unitOf(c.unit);
  return unit === "" ? c.name : `${c.name} [${unit}]`;
}

/** The rows of a choice as a table for other programs. */
export function table(doc: ChoiceDoc): (string | number)[][] {
  const head = [
    "place",
    "engine",
    "file",
    "ruled out",
    "points of 100",
    "points 5 %",
    "points 95 %",
    "first place [%]",
    "first place, any priorities [%]",
    ...doc.brief.priorities.map((p) => `${p.name} [points]`),
    ...doc.criteria.flatMap((c) => [headed(c), `${c.name}, low`, `${c.name}, high`]),
  ];
  const rows = ranked(doc).map((e) => {
    const stands = e.place > 0;
    return [
      stands ? e.place : "",
      e.name,
      e.file,
      e.out.map((o) => o.text).join("; "),
      e.points,
      stands ? e.band.p05_points : "",
      stands ? e.band.p95_points : "",
      stands ? 100 * (e.rank_1[0] ?? 0) : "",
      stands ? 100 * (e.rank_any_1[0] ?? 0) : "",
      ...e.points_by_priority,
      ...doc.criteria.flatMap((_, i) => [e.values[i] ?? "", e.low[i] ?? "", e.high[i] ?? ""]),
    ];
  });
  return [head, ...rows];
}

/** Criteria of which one side is better: those of a trade-off. */
export function tradable(doc: ChoiceDoc): CriterionDoc[] {
  return doc.criteria.filter((c) => c.better !== "neither");
}

/** The two criteria of a trade-off: those asked for, or the first that tell the engines apart. */
export function traded(doc: ChoiceDoc, x: string, y: string): [string, string] {
  const all = tradable(doc);
  const has = (key: string) => all.some((c) => c.key === key);
  const differ = all.filter((c) => {
    const i = doc.criteria.indexOf(c);
    return doc.engines.some((e) => e.values[i] !== doc.engines[0]?.values[i]);
  });
  const usual = [...differ, ...all].map((c) => c.key);
  const across = has(x) ? x : (usual.find((k) => k !== y) ?? "");
  return [across, has(y) ? y : (usual.find((k) => k !== across) ?? across)];
}

/** Points of a priority: 7, 7.5, 5.95. */
export function weight(v: number): string {
  return String(Math.round(100 * v) / 100);
}
