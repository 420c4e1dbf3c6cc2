import { describe, expect, it } from "vitest";
import type { PersonPointDoc } from "../../api/types";
import { blockOf, felt, freedoms, hours, levelOf, pen, percent, swung, verdict } from "./mounts";

const person = (over: PersonPointDoc["idle"]["over"][], value = 2, daily = 1) => {
  const at = (o: PersonPointDoc["idle"]["over"] | undefined) =>
    ({ over: o ?? "nothing", value_ms2: value, daily_ms2: daily }) as PersonPointDoc["idle"];
  return { idle: at(over[0]), rated: at(over[1]), worst: at(over[2]) };
};

describe("mounts and people", () => {
  it("swings a point with the body: a roll lifts what is to the right and moves what is below to the right", () => {
    const roll = { move_mm: [0, 0, 0], turn_deg: [180 / Math.PI, 0, 0] };
    expect(swung([5, 10, 0], [5, 0, 0], roll, 0.5)).toEqual([5, 10, 5]);
    expect(swung([5, 0, -10], [5, 0, 0], roll, 1)).toEqual([5, 10, -10]);
    const bounce = { move_mm: [0, 0, 1], turn_deg: [0, 0, 0] };
    expect(swung([1, 2, 3], [9, 9, 9], bounce, -2)).toEqual([1, 2, 1]);
  });

  it("draws an even block with the edges that its inertia asks for", () => {
    const [a, b, c] = [0.6, 0.4, 0.2];
    const m = 120;
    const j = [b * b + c * c, a * a + c * c, a * a + b * b].map((v) => (m * v) / 12);
    const block = blockOf({
      mass_kg: m,
      inertia_kgm2: j.map((v, i) => [0, 1, 2].map((k) => (i === k ? v : 0))),
    });
    [300, 200, 100].forEach((half, i) => expect(block[i]).toBeCloseTo(half));
  });

  it("says the worst of three speeds", () => {
    expect(verdict(person(["nothing", "action", "nothing"]))).toBe("above the action value");
    expect(verdict(person(["action", "limit", "nothing"]))).toBe("above the limit value");
    expect(verdict(person([]))).toBe("below the action value");
  });

  it("keeps the proportion between what is felt and the day", () => {
    expect(levelOf(person([], 3, 1.5), 0.5)).toBe(1);
    expect(levelOf(person([], 0, 0), 0.5)).toBe(0.5);
    expect(hours(24)).toBe("all day");
    expect(hours(1.5)).toBe("1.5\u00a0h");
    expect(hours(0.4)).toBe("24\u00a0min");
  });

  it("does not pretend to digits of what is next to nothing", () => {
    expect([percent(-3.8e-7), percent(0.04), percent(76.12)]).toEqual([
      "<\u00a00.1",
      "<\u00a00.1",
      "76.1",
    ]);
    expect([felt(0), felt(4.5e-4), felt(0.0134)]).toEqual(["0", "<\u00a00.001", "0.0134"]);
  });

  it("has a colour of its own for each freedom and a pen for each mount", () => {
    expect(new Set(freedoms.map((f) => f.paint)).size).toBe(6);
    expect(new Set(Array.from({ length: 12 }, (_, i) => JSON.stringify(pen(i)))).size).toBe(12);
  });
});
