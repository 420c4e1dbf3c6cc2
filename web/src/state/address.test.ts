// Any address whatever: what stands in it is never an error, always a state that can be, and what is written
// of it reads as the same. The texts are drawn by a seeded generator, so that every run tries the same ones;
// ADDRESSES=1000000 asks for more of them.
import { expect, test, vi } from "vitest";
import * as brush from "../search/brush";
import { fullFile, params, readAll, shortFile, withValues, type Name, type Param } from "./params";

const count = Number(process.env["ADDRESSES"] ?? 4000);
vi.setConfig({ testTimeout: 20_000 + count * 10 });

/** Whole numbers below a bound that look random and are the same every time. */
function dice(seed: number): (below: number) => number {
  let a = seed;
  return (below) => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) % below;
  };
}

const names = Object.keys(params) as Name[];

/** What tends to be taken wrongly: bounds of numbers, names that objects have by birth, halves of characters, separators. */
const pieces = [
  ..."~,.+-:;=&%#?/\\ 0123456789abeEnx\n\t\0",
  ...["__proto__", "constructor", "toString", "hasOwnProperty", "length", "undefined", "null"],
  ...["NaN", "Infinity", "-Infinity", "1e999", "-1e999", "5e-324", "-0", "0x10", "0.1", "1e21"],
  ...["\ud800", "\udc00", "🚢", "ä", "\u202e", "\u2028", "%2", "%00", "%ff", "%2C", "&amp;"],
  ...[".engine.yaml", ".brief.yaml", ".study.yaml", ".yaml", ".yml", "..", "../", "none", "on"],
  ...["<script>top.cw=1</script>", "javascript:top.cw=1", "'\"><img src=x onerror=top.cw=1>"],
  ...["free", "resultant", "couple", "parts,", "2,", "0.5,", "a,a", "~1~2", "~2~1 ", "bore~"],
  ...names.map((n) => params[n].key),
];

function text(roll: (below: number) => number): string {
  return Array.from({ length: roll(7) }, () => pieces[roll(pieces.length)]).join("");
}

function query(roll: (below: number) => number): string {
  return Array.from({ length: roll(6) }, () => {
    const key = roll(8) > 0 ? params[names[roll(names.length)]!].key : text(roll);
    return `${key}=${roll(2) > 0 ? text(roll) : encodeURIComponent(text(roll).toWellFormed())}`;
  }).join("&");
}

/** What a state may be, whatever the address says. */
function possible(v: unknown): boolean {
  if (Array.isArray(v)) return new Set(v).size === v.length && v.every(possible);
  return typeof v === "number"
    ? Number.isFinite(v)
    : typeof v === "string"
      ? v.isWellFormed()
      : typeof v === "boolean";
}

test("an address of any text is a state that can be, and is written as one that reads the same", () => {
  const roll = dice(1);
  for (let i = 0; i < count; i++) {
    const asked = query(roll);
    const state = readAll(asked);
    const wrong = names.filter(
      (n) => !possible(state[n]) || typeof state[n] !== typeof params[n].fallback,
    );
    expect(wrong, asked).toEqual([]);
    const written = withValues("", state);
    expect(readAll(written), asked).toEqual(state);
    expect(withValues("", readAll(written)), asked).toBe(written);
  }
});

test("every state alone reads as it was written, also beside strange keys, which stay", () => {
  const roll = dice(2);
  for (let i = 0; i < count; i++) {
    const name = names[roll(names.length)]!;
    const p = params[name] as Param<unknown>;
    const t = text(roll).toWellFormed();
    const value = p.read(t) ?? p.fallback;
    const q = withValues("?strange=1", { [name]: value });
    expect(readAll(q)[name], `${p.key}=${t}`).toEqual(value);
    expect(new URLSearchParams(q).get("strange")).toBe("1");
  }
});

test("a file is the same after its name was made short", () => {
  const roll = dice(3);
  for (let i = 0; i < count; i++) {
    const file = `${text(roll)}.engine.yaml`;
    expect(fullFile(shortFile(file))).toBe(file);
  }
});

test("brushes of any text are ranges in growing sequence, and are written as ones that read the same", () => {
  const roll = dice(4);
  for (let i = 0; i < count; i++) {
    const t = text(roll) + text(roll);
    const all = brush.read(t);
    for (const [key, ranges] of Object.entries(all)) {
      const ends = ranges.flatMap((r) => [r.low, r.high]);
      const grows = ranges.every(
        (r, i) => r.low <= r.high && r.low > (ranges[i - 1]?.high ?? -Infinity),
      );
      expect(key !== "" && ends.length > 0 && ends.every(Number.isFinite) && grows, t).toBe(true);
    }
    const once = brush.read(brush.written(all));
    expect(brush.read(brush.written(once)), t).toEqual(once);
    expect(Object.keys(once).sort(), t).toEqual(Object.keys(all).sort());
  }
});
