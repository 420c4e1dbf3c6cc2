// Scales of the section's own figures.

export interface Axis {
  min: number;
  max: number;
  log: boolean;
  ticks: number[];
}

function stepFor(span: number, count: number): number {
  const rough = span / Math.max(1, count);
  const p = 10 ** Math.floor(Math.log10(rough));
  for (const m of [1, 2, 2.5, 5, 10]) if (m * p >= rough * 0.999) return m * p;
  return 10 * p;
}

/** An axis that ends on round values and holds all that is drawn. */
export function linear(low: number, high: number, count = 5): Axis {
  if (!(high > low)) {
    const around = Math.abs(low) || 1;
    return linear(Math.min(0, low), low > 0 ? low : around, count);
  }
  const step = stepFor(high - low, count);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.ceil(high / step - 1e-9);
  const ticks = Array.from({ length: last - first + 1 }, (_, i) =>
    Number(((first + i) * step).toPrecision(12)),
  );
  return { min: first * step, max: last * step, log: false, ticks };
}

/** A logarithmic axis over positive values, with marks at 1, 2 and 5. */
export function logarithmic(low: number, high: number): Axis {
  const least = low > 0 ? low : 1e-3;
  const most = Math.max(high, least * 1.01);
  const ticks: number[] = [];
  for (let p = Math.floor(Math.log10(least)); p <= Math.ceil(Math.log10(most)); p++)
    for (const m of [1, 2, 5]) ticks.push(Number((m * 10 ** p).toPrecision(12)));
  const below = ticks.filter((t) => t <= least * 1.0001).at(-1) ?? least;
  const above = ticks.find((t) => t >= most * 0.9999) ?? most;
  return {
    min: below,
    max: above,
    log: true,
    ticks: ticks.filter((t) => t >= below && t <= above),
  };
}

/** An axis with given ends and marks. */
export function fixed(min: number, max: number, every: number): Axis {
  const ticks: number[] = [];
  for (let t = min; t <= max + every * 1e-6; t += every) ticks.push(t);
  return { min, max, log: false, ticks };
}

/** Place of a value on an axis, 0 at its beginning and 1 at its end. */
export function place(a: Axis, v: number): number {
  if (a.log) return Math.log(Math.max(v, a.min * 1e-3) / a.min) / Math.log(a.max / a.min);
  return (v - a.min) / (a.max - a.min);
}

/** The value at a place. */
export function valueAt(a: Axis, t: number): number {
  return a.log ? a.min * (a.max / a.min) ** t : a.min + t * (a.max - a.min);
}

/** Index of the value that is nearest. */
export function nearest(values: readonly number[], v: number): number {
  let best = 0;
  values.forEach((x, i) => {
    if (Math.abs(x - v) < Math.abs((values[best] ?? Infinity) - v)) best = i;
  });
  return best;
}
