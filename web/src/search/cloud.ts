// Up to some millions of candidates as columns of numbers: which of them are chosen, how dense they lie between two
// axes and in a plane. Nothing here knows the page, so that a worker does it and a test can.

import { within, type Range } from "./brush";

/** So many bins tell apart where a brush ends; candidates in a bin that an end cuts are looked at one by one. */
const fine = 1024;
/** So many bins of an axis make the density between two axes. */
export const coarse = 64;

/** The least and the largest number of a column; 0 to 1 where it has none, and a step around a single one. */
export function spanOf(values: Float32Array): Range {
  let low = Infinity;
  let high = -Infinity;
  for (const v of values) {
    if (v < low) low = v;
    if (v > high) high = v;
  }
  if (low > high) return { low: 0, high: 1 };
  if (low === high) return { low: low - 0.5, high: high + 0.5 };
  return { low, high };
}

/** What of a column stands on its axis. */
export interface Span extends Range {
  /** Every candidate has the same value there, or none. */
  single: boolean;
}

/** One column with what makes it quick to brush. */
class Column {
  readonly values: Float32Array;
  readonly span: Span;
  ranges: readonly Range[] | undefined;
  /** Candidates by fine bin, made when the column is first brushed. */
  #order: Uint32Array | undefined;
  readonly #starts = new Uint32Array(fine + 1);

  constructor(values: Float32Array) {
    this.values = values;
    const span = spanOf(values);
    const middle = (span.low + span.high) / 2;
    this.span = { ...span, single: values.every((v) => v !== v || v === middle) };
  }

  /** Writes the bins of the column for densities, every step-th; 255: there is no such value. */
  bins(into: Uint8Array, at: number, step: number): void {
    const { low, high } = this.span;
    const scale = (coarse - 1) / (high - low);
    for (const v of this.values) {
      into[at] = v === v ? Math.round((v - low) * scale) : 255;
      at += step;
    }
  }

  #fineOf(v: number): number {
    const { low, high } = this.span;
    return Math.min(fine - 1, Math.floor(((v - low) / (high - low)) * fine));
  }

  /** Candidates by fine bin; those without a value stand in none, and no range ever takes them in. */
  order(): Uint32Array {
    if (this.#order) return this.#order;
    const starts = this.#starts;
    for (const v of this.values) {
      if (v === v) starts[this.#fineOf(v) + 1]!++;
    }
    for (let b = 0; b < fine; b++) starts[b + 1]! += starts[b]!;
    const next = starts.slice(0, fine);
    const order = new Uint32Array(starts[fine]!);
    this.values.forEach((v, i) => {
      if (v === v) order[next[this.#fineOf(v)]!++] = i;
    });
    return (this.#order = order);
  }

  /** What a bin is to ranges: all of it within one (1), none of it (0), or to be looked at one by one (2). */
  #standing(bin: number, ranges: readonly Range[]): 0 | 1 | 2 {
    const { low, high } = this.span;
    const from = low + ((high - low) * bin) / fine;
    const to = low + ((high - low) * (bin + 1)) / fine;
    const step = (high - low) / fine / 1000;
    let standing: 0 | 1 | 2 = 0;
    for (const r of ranges) {
      if (r.low < from - step && r.high > to + step) return 1;
      if (r.low <= to + step && r.high >= from - step) standing = 2;
    }
    return standing;
  }

  /** Calls for every candidate that comes in (true) or goes out (false) when the ranges change. */
  change(ranges: readonly Range[], turn: (i: number, comes: boolean) => void): void {
    const before = this.ranges ?? [{ low: -Infinity, high: Infinity }];
    this.ranges = ranges;
    const order = this.order();
    for (let b = 0; b < fine; b++) {
      const was = this.#standing(b, before);
      const is = this.#standing(b, ranges);
      if (was === is && was !== 2) continue;
      for (let k = this.#starts[b]!; k < this.#starts[b + 1]!; k++) {
        const i = order[k]!;
        const v = this.values[i]!;
        const had = was === 2 ? within(v, before) : was === 1;
        const has = is === 2 ? within(v, ranges) : is === 1;
        if (had !== has) turn(i, has);
      }
    }
  }
}

/** A picture of a plane: what of each axis stands in it, and its size in pixels. */
export interface Plane {
  x: number;
  y: number;
  across: Range;
  up: Range;
  width: number;
  height: number;
}

/** Rows that came in or went out. */
export interface Turned {
  rows: Uint32Array;
  comes: Uint8Array;
}

export class Cloud {
  readonly count: number;
  /** How many brushed columns a candidate does not keep to; 0: it is chosen. */
  readonly fails: Uint8Array;
  #columns: Column[];
  /** Bins of all columns, candidate by candidate: what is looked at together lies together. */
  readonly #bins: Uint8Array;
  #chosen: number;
  /** Rows that were turned since settle(), some of them more than once. */
  #turned: number[] = [];
  /** Whether a row was chosen when settle() last ran. */
  readonly #was: Uint8Array;

  constructor(columns: Float32Array[]) {
    this.#columns = columns.map((c) => new Column(c));
    this.count = columns[0]?.length ?? 0;
    this.#bins = new Uint8Array(this.count * columns.length);
    this.#columns.forEach((c, k) => c.bins(this.#bins, k, columns.length));
    this.fails = new Uint8Array(this.count);
    this.#was = new Uint8Array(this.count).fill(1);
    this.#chosen = this.count;
  }

  /** How many candidates are chosen. */
  get chosen(): number {
    return this.#chosen;
  }

  spans(): Span[] {
    return this.#columns.map((c) => c.span);
  }

  value(column: number, row: number): number {
    return this.#columns[column]?.values[row] ?? NaN;
  }

  /** Brushes a column; undefined or no ranges: it is free. */
  brush(column: number, ranges: readonly Range[] | undefined): void {
    const c = this.#columns[column];
    if (!c || (!ranges?.length && !c.ranges)) return;
    const { fails } = this;
    const turn = (i: number, comes: boolean) => {
      if (comes) {
        if (--fails[i]! > 0) return;
        this.#chosen++;
      } else {
        if (fails[i]!++ > 0) return;
        this.#chosen--;
      }
      this.#turned.push(i);
    };
    // Candidates without a value fail while the column is brushed at all.
    const first = !c.ranges;
    const free = !ranges?.length;
    c.change(free ? [{ low: -Infinity, high: Infinity }] : ranges, turn);
    if (first !== free && c.order().length < this.count)
      for (let i = 0; i < this.count; i++) if (c.values[i] !== c.values[i]) turn(i, free);
    if (free) c.ranges = undefined;
  }

  /** Rows that are chosen now and were not when this was last asked, and the other way round. */
  settle(): Turned {
    const rows = new Uint32Array(this.#turned.length);
    const comes = new Uint8Array(this.#turned.length);
    let n = 0;
    for (const i of this.#turned) {
      const is = this.fails[i] === 0 ? 1 : 0;
      if (is === this.#was[i]) continue;
      this.#was[i] = is;
      rows[n] = i;
      comes[n++] = is;
    }
    this.#turned = [];
    return { rows: rows.subarray(0, n), comes: comes.subarray(0, n) };
  }

  /**
   * How many candidates go from each bin of an axis to each bin of the next, for all neighbours of a list of columns:
   * bin of the first times coarse plus bin of the second.
   */
  between(columns: number[], onlyChosen: boolean): Uint32Array[] {
    const out = columns.slice(1).map(() => new Uint32Array(coarse * coarse));
    const { fails } = this;
    for (let i = 0; i < this.count; i++)
      if (!onlyChosen || fails[i] === 0) this.#count(out, columns, i, 1);
    return out;
  }

  /** Brings such counts of what is chosen up to date. */
  turnBetween(counts: Uint32Array[], columns: number[], { rows, comes }: Turned): void {
    for (let k = 0; k < rows.length; k++) this.#count(counts, columns, rows[k]!, comes[k] ? 1 : -1);
  }

  #count(counts: Uint32Array[], columns: number[], row: number, by: number): void {
    const at = row * this.#columns.length;
    let from = this.#bins[at + columns[0]!]!;
    for (let k = 0; k < counts.length; k++) {
      const to = this.#bins[at + columns[k + 1]!]!;
      if (from !== 255 && to !== 255) counts[k]![from * coarse + to]! += by;
      from = to;
    }
  }

  /** Pixel of every candidate in a plane, row by row from the top; −1: outside. */
  place(plane: Plane): Int32Array {
    const { across, up, width, height } = plane;
    const xs = this.#columns[plane.x]?.values;
    const ys = this.#columns[plane.y]?.values;
    const out = new Int32Array(this.count).fill(-1);
    if (!xs || !ys) return out;
    const sx = (width - 1) / (across.high - across.low);
    const sy = (height - 1) / (up.high - up.low);
    for (let i = 0; i < this.count; i++) {
      const px = (xs[i]! - across.low) * sx;
      const py = (up.high - ys[i]!) * sy;
      if (px >= -0.5 && px < width - 0.5 && py >= -0.5 && py < height - 0.5)
        out[i] = Math.round(py) * width + Math.round(px);
    }
    return out;
  }

  /** How many candidates lie in each pixel. */
  fall(places: Int32Array, into: Uint32Array, onlyChosen: boolean): void {
    into.fill(0);
    const { fails } = this;
    for (let i = 0; i < this.count; i++) {
      const p = places[i]!;
      if (p >= 0 && (!onlyChosen || fails[i] === 0)) into[p]!++;
    }
  }

  /** Brings such counts of what is chosen up to date. */
  turnFall(places: Int32Array, counts: Uint32Array, { rows, comes }: Turned): void {
    for (let k = 0; k < rows.length; k++) {
      const p = places[rows[k]!]!;
      if (p >= 0) counts[p]! += comes[k] ? 1 : -1;
    }
  }

  /** Row of the chosen candidate that is drawn nearest to a pixel; −1: there is none within the radius. */
  nearest(plane: Plane, places: Int32Array, x: number, y: number, radius: number): number {
    const { width } = plane;
    let best = -1;
    let least = radius * radius + 1;
    const low = (y - radius) * width;
    const high = (y + radius + 1) * width;
    for (let i = 0; i < this.count; i++) {
      const p = places[i]!;
      if (p < 0 || p < low || p >= high || this.fails[i] !== 0) continue;
      const d = ((p % width) - x) ** 2 + (Math.floor(p / width) - y) ** 2;
      if (d < least) {
        least = d;
        best = i;
      }
    }
    return best;
  }

  /** Rows that are chosen, at most so many. */
  rows(most: number): number[] {
    const out: number[] = [];
    for (let i = 0; i < this.count && out.length < most; i++) if (this.fails[i] === 0) out.push(i);
    return out;
  }

  /** Position of a value on its axis, 0 to 1. */
  position(column: number, row: number): number {
    const c = this.#columns[column];
    if (!c) return NaN;
    return ((c.values[row] ?? NaN) - c.span.low) / (c.span.high - c.span.low);
  }
}
