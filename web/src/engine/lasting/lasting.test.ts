import { describe, expect, it } from "vitest";
import type { BearingsDoc, StrengthDoc, TorsionDoc } from "../../api/types";
import { chained, raysOf, reachOf, shareText, topFrequency, usesOf } from "./lasting";

describe("crank and bearings", () => {
  it("puts vectors one on the other", () => {
    expect(
      chained([
        [1, 0],
        [0, 2],
        [-1, -2],
      ]).at(-1),
    ).toEqual({ x: 0, y: 0 });
    expect(reachOf([3, 0], [4, 1])).toBe(5);
  });

  it("says how much of what it bears a part takes", () => {
    const said = [0.0004, 0.42, 0.9999, 1, 1.002, 1.142].map(shareText);
    expect(said.map((t) => t.replaceAll("\u00a0", " "))).toEqual([
      "< 0.1 %",
      "42 %",
      "< 100 %",
      "100 %",
      "> 100 %",
      "114 %",
    ]);
  });

  it("colours a pin by the worst of its rods, and leaves open what is not known", () => {
    const strength = { webs: [{ use_pct: 50 }, { use_pct: 0 }] } as StrengthDoc;
    const bearings = {
      mains: [{ use_pct: 20 }],
      big_ends: [
        { name: "big end 1", cylinders: ["1"], use_pct: 30 },
        { name: "big end 2", cylinders: ["2"], use_pct: 40 },
      ],
    } as unknown as BearingsDoc;
    const on = new Map([
      ["1", "T1"],
      ["2", "T1"],
    ]);
    expect(usesOf(["T1", "T2"], on, strength, bearings)).toEqual({
      webs: [0.5, null],
      mains: [0.2],
      pins: [0.4, null],
    });
    expect(usesOf(["T1"], on, undefined, undefined).pins).toEqual([null]);
  });

  it("draws a ray for each order that is critical somewhere, and no higher than is useful", () => {
    const d = {
      critical_speeds: [{ order: 6 }, { order: 4.5 }, { order: 6 }],
      modes: [{ frequency_Hz: 0 }, { frequency_Hz: 400 }, { frequency_Hz: 5000 }],
    } as TorsionDoc;
    expect(raysOf(d, 6000)).toEqual([
      { order: 4.5, end: 450 },
      { order: 6, end: 600 },
    ]);
    expect(topFrequency(d, 6000)).toBeCloseTo(460);
  });
});
