import type { VerifiedItem } from "../api/types";
import { unitOf } from "../ui/numbers";

/** How a check came out. */
export type Verdict = "agrees" | "corrected" | "fails";

export const verdicts: Record<Verdict, { label: string; means: string }> = {
  agrees: { label: "agrees", means: "ours is within the tolerance of the printed value" },
  corrected: {
    label: "corrected",
    means: "the printed value is wrong; ours agrees with the recomputed one",
  },
  fails: { label: "fails", means: "ours differs from the expected value" },
};

export function verdictOf(c: VerifiedItem): Verdict {
  if (c.ok) return c.disagrees ? "corrected" : "agrees";
  return "fails";
}

/** What the reader filters by; empty: everything. */
export interface Filter {
  find: string;
  chapter: string;
  kind: string;
  state: string;
}

export function passes(c: VerifiedItem, f: Filter, citation = ""): boolean {
  if (f.chapter && c.chapter !== f.chapter) return false;
  if (f.kind && c.kind !== f.kind) return false;
  if (f.state && verdictOf(c) !== f.state) return false;
  const text =
    `${c.what} ${c.source} ${c.place ?? ""} ${c.id} ${c.printed} ${citation}`.toLowerCase();
  return f.find
    .toLowerCase()
    .split(/\s+/)
    .every((w) => text.includes(w));
}

/** Checks of one place in one source. */
export interface Place {
  key: string;
  chapter: string;
  source: string;
  place: string;
  kind: string;
  seen: string;
  list: VerifiedItem[];
}

/** The checks by the place that they come from, in their sequence. */
export function byPlace(list: VerifiedItem[]): Place[] {
  const out = new Map<string, Place>();
  for (const c of list) {
    const key = [c.chapter, c.source, c.place ?? "", c.kind, c.seen].join("|");
    const known = out.get(key);
    if (known) known.list.push(c);
    else {
      const { chapter, source, place = "", kind, seen } = c;
      out.set(key, { key, chapter, source, place, kind, seen, list: [c] });
    }
  }
  return [...out.values()];
}

/** The unit that belongs behind a printed value: none where the source prints its own. */
export function unitBehind(c: VerifiedItem): string {
  return c.printed.trim().endsWith(c.unit) ? "" : unitOf(c.unit);
}

/** A number with the digits that a check is about. */
export function precise(v: number, digits = 9): string {
  if (!Number.isFinite(v)) return "–";
  const short = String(Number(v.toPrecision(digits)));
  return short.replaceAll("-", "−");
}
