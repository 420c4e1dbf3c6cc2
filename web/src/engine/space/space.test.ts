import { describe, expect, test } from "vitest";
import type { SolidDoc } from "../../api/types";
import { hull, seen, shapes } from "./space";

const box: SolidDoc = {
  part: "block",
  name: "box",
  kind: "prism",
  density_kgm3: 2700,
  fill_1: 1,
  from_mm: 0,
  to_mm: 10,
  section_mm: [
    [0, 0],
    [4, 0],
    [4, 6],
    [0, 6],
  ],
  a_mm: [0, 0, 0],
  b_mm: [0, 0, 0],
  outer_mm: 0,
  inner_mm: 0,
};

describe("solids seen from a side", () => {
  test("are laid right and up", () => {
    expect(seen("front", [1, 2, 3])).toEqual([2, 3]);
    expect(seen("side", [1, 2, 3])).toEqual([1, 3]);
    expect(seen("top", [1, 2, 3])).toEqual([1, 2]);
  });
  test("a box is a rectangle from each side", () => {
    const span = (side: "front" | "side" | "top") => {
      const points = shapes([box], side)[0]?.points ?? [];
      return [
        Math.max(...points.map((p) => p[0])) - Math.min(...points.map((p) => p[0])),
        Math.max(...points.map((p) => p[1])) - Math.min(...points.map((p) => p[1])),
        points.length,
      ];
    };
    expect(span("front")).toEqual([4, 6, 4]);
    expect(span("side")).toEqual([10, 6, 4]);
    expect(span("top")).toEqual([10, 4, 4]);
  });
  test("a tube along the crank is a circle from the front", () => {
    const tube: SolidDoc = { ...box, kind: "tube", a_mm: [0, 1, 2], b_mm: [50, 1, 2], outer_mm: 5 };
    for (const [y, z] of shapes([tube], "front")[0]?.points ?? [])
      expect(Math.hypot(y - 1, z - 2)).toBeCloseTo(5, 6);
  });
  test("an outline leaves inner points out", () => {
    expect(
      hull([
        [0, 0],
        [2, 0],
        [1, 1],
        [2, 2],
        [0, 2],
      ]),
    ).toHaveLength(4);
  });
});
