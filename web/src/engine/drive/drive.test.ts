import { describe, expect, it } from "vitest";
import type { EngineDocument } from "../../api/types";
import { fixed, linear, logarithmic, nearest, place, valueAt } from "./axes";
import { along, centred, fromFiring, namesIn, small } from "./drive";

const doc = {
  cycle: "four-stroke",
  firing: { order: ["1", "3", "4", "2"], at_deg: [0, 180, 360, 540] },
} as unknown as EngineDocument;

describe("angles from firing", () => {
  it("is 0 at the firing of the cylinder, and half a cycle either way", () => {
    expect(fromFiring(doc, "3", 180)).toBe(0);
    expect(fromFiring(doc, "3", 170)).toBe(-10);
    expect(fromFiring(doc, "2", 0)).toBe(180);
    expect(fromFiring(doc, "1", 359)).toBe(359);
    expect(fromFiring(doc, "1", 360)).toBe(-360);
    expect(fromFiring(doc, "9", 0)).toBeUndefined();
  });
  it("fires every revolution in a two-stroke", () => {
    const two = { ...doc, cycle: "two-stroke" } as EngineDocument;
    expect(fromFiring(two, "1", 360)).toBe(0);
    expect(fromFiring(two, "3", 500)).toBe(-40);
  });
});

describe("curves of a cycle", () => {
  it("puts firing into the middle and closes the curve", () => {
    expect(centred([0, 1, 2, 3])).toEqual([2, 3, 0, 1, 2]);
    expect(centred([])).toEqual([]);
  });
  it("reads between samples and across the end", () => {
    expect(along([0, 10, 20, 30], 1.5, 4)).toBe(15);
    expect(along([0, 10, 20, 30], 3.5, 4)).toBe(15);
    expect(along([0, 10, 20, 30], -1, 4)).toBe(30);
    expect(along([], 3, 720)).toBe(0);
  });
});

describe("lists and small numbers", () => {
  it("reads names as the file has them", () => {
    expect(namesIn("[1, \"L 2\", '3']")).toEqual(["1", "L 2", "3"]);
    expect(namesIn("")).toEqual([]);
    expect(namesIn("4")).toEqual(["4"]);
  });
  it("writes what is next to nothing with a power of ten", () => {
    expect(small(2.36e-10)).toBe("2.4 × 10⁻¹⁰");
    expect(small(-3e-7)).toBe("3.0 × 10⁻⁷");
    expect(small(0)).toBe("0");
  });
});

describe("axes", () => {
  it("ends on round values and holds what is drawn", () => {
    expect(linear(0, 61)).toMatchObject({ min: 0, max: 80 });
    for (const [low, high] of [
      [-226, 619],
      [0, 0.0031],
      [900, 6000],
    ] as const) {
      const a = linear(low, high);
      expect(a.min).toBeLessThanOrEqual(low);
      expect(a.max).toBeGreaterThanOrEqual(high);
      expect(a.ticks.length).toBeLessThan(9);
    }
    const flat = linear(0, 0);
    expect(flat.max).toBeGreaterThan(flat.min);
  });
  it("marks decades at 1, 2 and 5", () => {
    const a = logarithmic(0.69, 61);
    expect(a.ticks).toEqual([0.5, 1, 2, 5, 10, 20, 50, 100]);
    expect(place(a, 0.5)).toBeCloseTo(0, 12);
    expect(place(a, 100)).toBeCloseTo(1, 12);
    expect(valueAt(a, place(a, 7))).toBeCloseTo(7, 12);
  });
  it("finds places and values both ways", () => {
    const a = fixed(-360, 360, 90);
    expect(a.ticks).toHaveLength(9);
    expect(place(a, 0)).toBe(0.5);
    expect(valueAt(a, 0.25)).toBe(-180);
  });
  it("finds the nearest sample", () => {
    expect(nearest([900, 1800, 3000], 2500)).toBe(2);
    expect(nearest([900, 1800, 3000], 0)).toBe(0);
    expect(nearest([], 5)).toBe(0);
  });
});
