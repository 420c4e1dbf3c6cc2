// What is brushed, by column: ranges of values, both ends included. A candidate is chosen where every brushed
// column has its value in one of the ranges of that column.

export interface Range {
  low: number;
  high: number;
}

/** Ranges by key of the column; a column that is not brushed is not there. */
export type Brushes = Readonly<Record<string, readonly Range[]>>;

export function within(v: number, ranges: readonly Range[]): boolean {
  return ranges.some((r) => v >= r.low && v <= r.high);
}

/** Whether a candidate is chosen; null: it has no such value, and is never within a range. */
export function chosen(
  values: readonly (number | null)[],
  columns: readonly { key: string }[],
  brushes: Brushes,
): boolean {
  return columns.every((c, i) => {
    const ranges = brushes[c.key];
    const v = values[i];
    return !ranges || (v !== null && v !== undefined && within(v, ranges));
  });
}

/** Ranges in growing sequence; those that touch are one. */
export function joined(ranges: readonly Range[]): Range[] {
  const sorted = ranges
    .map((r) => ({ low: Math.min(r.low, r.high), high: Math.max(r.low, r.high) }))
    .sort((a, b) => a.low - b.low);
  const out: Range[] = [];
  for (const r of sorted) {
    const last = out.at(-1);
    if (last && r.low <= last.high) last.high = Math.max(last.high, r.high);
    else out.push(r);
  }
  return out;
}

/** The brushes with those of one column changed; no ranges: the column is free. */
export function withRanges(brushes: Brushes, key: string, ranges: readonly Range[]): Brushes {
  const rest = Object.fromEntries(Object.entries(brushes).filter(([k]) => k !== key));
  return ranges.length === 0 ? rest : { ...rest, [key]: joined(ranges) };
}

/** A number as short as it can be without moving the end of a range by more than a millionth. */
export function short(v: number): string {
  return String(Number(v.toPrecision(6)));
}

/** The brushes as the address holds them: key~low~high, several of them with blanks between. */
export function written(brushes: Brushes): string {
  return Object.entries(brushes)
    .flatMap(([key, ranges]) => ranges.map((r) => `${key}~${short(r.low)}~${short(r.high)}`))
    .join(" ");
}

/** The ranges of a column. A key comes from the address: what every object has by birth, such as "constructor", is none. */
function own(brushes: Brushes, key: string): readonly Range[] {
  return Object.hasOwn(brushes, key) ? (brushes[key] ?? []) : [];
}

/** The brushes that an address holds. */
export function read(text: string): Brushes {
  let out: Brushes = {};
  for (const part of text.split(" ")) {
    const [key = "", a = "", b = ""] = part.split("~");
    const low = Number(a || NaN);
    const high = Number(b || NaN);
    if (key && Number.isFinite(low) && Number.isFinite(high))
      out = withRanges(out, key, [...own(out, key), { low, high }]);
  }
  return out;
}
