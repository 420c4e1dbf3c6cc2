/** A value with four digits that count, groups of thousands and a true minus. */
export function shown(v: number, digits = 4): string {
  if (!Number.isFinite(v)) return "–";
  if (v === 0) return "0";
  const size = Math.floor(Math.log10(Math.abs(v)));
  if (size >= 7 || size < -4) {
    const [m = "", e = ""] = v.toExponential(digits - 1).split("e");
    return signed(`${m.replace(/\.?0+$/, "")}e${Number(e)}`);
  }
  const places = Math.max(0, digits - 1 - size);
  const fixed = v.toFixed(Math.min(places, 6));
  const trimmed = fixed.includes(".") ? fixed.replace(/\.?0+$/, "") : fixed;
  const [whole = "", part] = trimmed.split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+(?!\d))/g, "\u202f");
  return signed(whole.replace("-", "").length > 4 ? join(grouped, part) : join(whole, part));
}

function join(whole: string, part: string | undefined): string {
  return part ? `${whole}.${part}` : whole;
}

function signed(s: string): string {
  return s.replace("-", "−");
}

/** A unit as people write it; nothing for plain numbers. */
export function unitOf(unit: string): string {
  if (unit === "1") return "";
  return unit === "deg" ? "°" : unit;
}

/** A value and its unit. */
export function withUnit(v: number, unit: string): string {
  const u = unitOf(unit);
  return u === "" ? shown(v) : u === "°" ? shown(v) + u : `${shown(v)}\u00a0${u}`;
}

/** A difference with its sign. */
export function difference(v: number, unit: string): string {
  return (v > 0 ? "+" : "") + withUnit(v, unit);
}
