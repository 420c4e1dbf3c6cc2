// Numbers as people read them: three or four digits, narrow spaces between thousands, no powers of ten
// where a prefix does.

const minus = "−";

/** So many significant digits, grouped from 10 000 up. */
export function digits(x: number, n = 3): string {
  if (!Number.isFinite(x)) return "—";
  if (x === 0) return "0";
  const rounded = Number(x.toPrecision(n));
  const size = Math.abs(rounded);
  let text: string;
  if (size >= 1e7 || size < 1e-3) text = rounded.toExponential(Math.max(0, n - 1));
  else if (size >= 10 ** n) text = String(Math.round(rounded));
  else text = rounded.toFixed(Math.max(0, n - 1 - Math.floor(Math.log10(size))));
  if (/\.\d*0+$/.test(text)) text = text.replace(/\.?0+$/, "");
  return text
    .replace("-", minus)
    .replace(
      /\B(?=(\d{3})+$)/g,
      size >= 1e4 && !text.includes(".") && !text.includes("e") ? "\u202f" : "",
    );
}

const prefixed: Record<string, [string, string]> = { N: ["kN", "MN"], "N m": ["kN m", "MN m"] };

/** A value with its unit: 12.3 kN. A force or moment that is next to nothing does not pretend to digits. */
export function quantity(x: number, unit: string, n = 3): string {
  const [kilo, mega] = prefixed[unit] ?? [];
  if (mega && Math.abs(x) >= 9.9995e6) return `${digits(x / 1e6, n)}\u00a0${mega}`;
  if (kilo && Math.abs(x) >= 9999.5) return `${digits(x / 1e3, n)}\u00a0${kilo}`;
  if (prefixed[unit] && Math.abs(x) > 0 && Math.abs(x) < 5e-4) return `<\u00a00.001\u00a0${unit}`;
  if (unit === "deg") return `${degrees(x)}`;
  if (unit === "1" || unit === "") return digits(x, Math.min(n + 1, 4));
  return `${digits(x, n)}\u00a0${unit}`;
}

export function degrees(x: number, places = 1): string {
  const r = Number(x.toFixed(places));
  return `${String(r === 0 ? 0 : r).replace("-", minus)}°`;
}

/** A number of a column, whose head has the unit; what is next to nothing does not pretend to digits. */
export function cell(x: number): string {
  if (x !== 0 && Math.abs(x) < 5e-4) return "<\u00a00.001";
  return digits(x, 4);
}

/** A difference with its sign; empty where there is none to speak of. */
export function change(now: number, before: number, unit: string): string {
  const d = now - before;
  if (Math.abs(d) <= 1e-9 * Math.max(Math.abs(now), Math.abs(before), 1e-6)) return "";
  if (prefixed[unit] && Math.abs(d) < 5e-4) return "";
  if (unit === "1") return `${d > 0 ? "+" : minus}${digits(Math.abs(d), 2)}`;
  return `${d > 0 ? "+" : minus}${quantity(Math.abs(d), unit)}`;
}

/** A round upper end for an axis: 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8 × 10ⁿ. */
export function niceAbove(x: number): number {
  if (!(x > 0)) return 1;
  const p = 10 ** Math.floor(Math.log10(x));
  for (const m of [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10]) if (m * p >= x * 0.9999999) return m * p;
  return 10 * p;
}
