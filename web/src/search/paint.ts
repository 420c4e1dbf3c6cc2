// Densities as pixels: pictures of candidates between axes and in a plane.

import { coarse, type Cloud } from "./cloud";

export type Colour = readonly [red: number, green: number, blue: number];

/** So few candidates are drawn as lines of their own, more as density. */
const mostLines = 3000;

/** Where the axes stand in a picture [px], and which columns they are. */
export interface Axes {
  columns: number[];
  at: number[];
  width: number;
  height: number;
}

/**
 * How dense the candidates lie between neighbouring axes, by pixel: a bin of one axis is joined with a bin of the next
 * by a band as high as they, and every candidate adds one to its band. Few candidates are lines of their own.
 */
export function densityBetween(
  cloud: Cloud,
  axes: Axes,
  counts: Uint32Array[],
  onlyChosen: boolean,
): Float32Array {
  const { width, height } = axes;
  const out = new Float32Array(width * height);
  const lines = (onlyChosen ? cloud.chosen : cloud.count) <= mostLines;
  counts.forEach((c, k) => {
    const x0 = Math.max(0, Math.round(axes.at[k]!));
    const last = k === counts.length - 1 ? 1 : 0;
    const x1 = Math.min(width, Math.round(axes.at[k + 1]!) + last);
    if (lines) drawLines(cloud, axes, k, x0, x1, onlyChosen, out);
    else drawBands(c, x0, x1, width, height, out);
  });
  return out;
}

function drawBands(
  counts: Uint32Array,
  x0: number,
  x1: number,
  width: number,
  height: number,
  out: Float32Array,
): void {
  const from: number[] = [];
  const to: number[] = [];
  const count: number[] = [];
  const top = coarse - 1;
  const scale = (height - 1) / top;
  counts.forEach((c, at) => {
    if (c === 0) return;
    // Large values stand on top.
    from.push((top - Math.floor(at / coarse)) * scale);
    to.push((top - (at % coarse)) * scale);
    count.push(c);
  });
  const a = Float32Array.from(from);
  const b = Float32Array.from(to);
  const c = Float32Array.from(count);
  const half = scale / 2;
  const steps = new Float32Array(height + 1);
  const span = Math.max(1, x1 - x0 - 1);
  for (let x = x0; x < x1; x++) {
    steps.fill(0);
    const t = (x - x0) / span;
    for (let i = 0; i < c.length; i++) {
      const y = a[i]! + (b[i]! - a[i]!) * t;
      const low = y - half < 0 ? 0 : (y - half + 0.5) | 0;
      let high = (y + half + 0.5) | 0;
      if (high <= low) high = low + 1;
      if (high > height) high = height;
      steps[low]! += c[i]!;
      steps[high]! -= c[i]!;
    }
    let sum = 0;
    for (let y = 0; y < height; y++) {
      sum += steps[y]!;
      out[y * width + x] = sum > 0.5 ? sum : 0;
    }
  }
}

function drawLines(
  cloud: Cloud,
  axes: Axes,
  k: number,
  x0: number,
  x1: number,
  onlyChosen: boolean,
  out: Float32Array,
): void {
  const { width, height } = axes;
  const [a, b] = [axes.columns[k]!, axes.columns[k + 1]!];
  const span = Math.max(1, x1 - x0 - 1);
  const rows = onlyChosen
    ? cloud.rows(mostLines)
    : Array.from({ length: cloud.count }, (_, i) => i);
  for (const row of rows) {
    const from = (1 - cloud.position(a, row)) * (height - 1);
    const to = (1 - cloud.position(b, row)) * (height - 1);
    if (!(from === from && to === to)) continue;
    for (let x = x0; x < x1; x++) {
      const y = from + ((to - from) * (x - x0)) / span;
      const low = Math.floor(y);
      const share = y - low;
      out[low * width + x]! += 1 - share;
      if (low + 1 < height) out[(low + 1) * width + x]! += share;
    }
  }
}

/** The largest number. */
export function largest(values: ArrayLike<number>): number {
  let most = 0;
  for (let i = 0; i < values.length; i++) if (values[i]! > most) most = values[i]!;
  return most;
}

/**
 * Densities as pixels of one colour. Few candidates are seen beside many: opacity goes with the fourth root. One
 * candidate has at least the opacity least.
 */
export function tint(
  density: ArrayLike<number>,
  most: number,
  colour: Colour,
  least: number,
  greatest: number,
): Uint8ClampedArray<ArrayBuffer> {
  const out = new Uint8ClampedArray(density.length * 4);
  const one = most > 0 ? 1 / most : 0;
  for (let i = 0; i < density.length; i++) {
    const d = density[i]!;
    if (d <= 0) continue;
    const share = d < 1 ? d * least : least + (greatest - least) * Math.sqrt(Math.sqrt(d * one));
    const p = 4 * i;
    out[p] = colour[0];
    out[p + 1] = colour[1];
    out[p + 2] = colour[2];
    out[p + 3] = 255 * Math.min(greatest, share);
  }
  return out;
}

/** How large a candidate is drawn [px], so that few of them are seen as well as many. */
export function dotSize(count: number): number {
  return count > 200_000 ? 1 : count > 20_000 ? 2 : count > 2000 ? 3 : 5;
}

/** Every pixel grows to a dot of some pixels. */
export function grown(
  counts: Uint32Array,
  width: number,
  height: number,
  size: number,
): Uint32Array {
  if (size <= 1) return counts;
  const out = new Uint32Array(counts.length);
  const before = Math.floor((size - 1) / 2);
  const round = size > 3;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const c = counts[y * width + x]!;
      if (c === 0) continue;
      for (let dy = 0; dy < size; dy++)
        for (let dx = 0; dx < size; dx++) {
          if (round && (dx === 0 || dx === size - 1) && (dy === 0 || dy === size - 1)) continue;
          const px = x + dx - before;
          const py = y + dy - before;
          if (px >= 0 && px < width && py >= 0 && py < height) out[py * width + px]! += c;
        }
    }
  return out;
}
