import { describe, expect, test } from "vitest";
import { byGroup, counted, sides } from "./making";

const part = (name: string, group: string, count: number, unit: "1" | "m" = "1") => ({
  part: name,
  group,
  count,
  unit,
  from: "",
});

describe("parts", () => {
  test("stand by group in the order in which groups come", () => {
    const groups = byGroup([
      part("head", "heads", 2),
      part("crank", "crank train", 1),
      part("valve", "heads", 24),
    ]);
    expect(groups.map((g) => [g.group, g.rows.length])).toEqual([
      ["heads", 2],
      ["crank train", 1],
    ]);
  });
  test("are pieces or metres", () => {
    expect(counted(part("valve", "heads", 24))).toBe("24");
    expect(counted(part("chain", "heads", 1.888, "m"))).toBe("1.89 m");
  });
  test("are reached from sides", () => {
    expect(
      sides([
        { side: "from above", places_1: 4 },
        { side: "from below", places_1: 1 },
      ]),
    ).toBe("4 from above, 1 from below");
  });
});
