import { describe, expect, test } from "vitest";
import type { BriefDoc, ChoiceAnswer, ChoiceDoc, ChosenDoc } from "../api/types";
import { lookOrder } from "./doubts.svelte";
import {
  boundsText,
  moveEnd,
  plain,
  readWeight,
  shownPriorities,
  switched,
  valueText,
  weightText,
  whyEdit,
  withBound,
  withoutBound,
  withoutPriority,
  worthText,
} from "./edits";
import { partLook } from "./look";
import { percent, ranked, table, traded } from "./words";

const priority = (key: string, low: number, high = low, more: object = {}) => ({
  key,
  name: key,
  means: "",
  low_points: low,
  high_points: high,
  drawn_from_points: low,
  drawn_to_points: high,
  own: false,
  parts: [],
  ...more,
});
const limit = (
  measure: string,
  side: "at most" | "at least",
  bound: number,
  unit: string,
  why = "",
) => ({
  measure,
  name: measure,
  unit,
  side,
  bound,
  shown: "",
  ...(why ? { why } : {}),
});
const brief: BriefDoc = {
  name: "A boat",
  limits: [
    limit("brake_power", "at least", 60, "kW", "to plane"),
    limit("brake_power", "at most", 90, "kW", "to plane"),
    limit("length", "at most", 620, "mm", "the bulkhead"),
  ],
  priorities: [
    priority("cost", 5, 8, { why: "the council" }),
    priority("quiet", 3, 3, { own: true }),
  ],
};

describe("weights", () => {
  test("are written as the file has them and read back", () => {
    for (const w of [
      { low: 7, high: 7 },
      { low: 3, high: 8 },
      { low: 0, high: 2.5 },
    ])
      expect(readWeight(weightText(w))).toEqual(w);
    expect(weightText({ low: 3, high: 8 })).toBe("[3, 8]");
    expect(weightText({ low: 0.1 + 0.2, high: 0.1 + 0.2 })).toBe("0.3");
    expect(readWeight("{a: 1}")).toBeUndefined();
    expect(readWeight("[3, 8")).toBeUndefined();
  });
  test("an end pushes the other and stays on the scale", () => {
    expect(moveEnd({ low: 3, high: 8 }, "low", 9)).toEqual({ low: 9, high: 9 });
    expect(moveEnd({ low: 3, high: 8 }, "high", 1)).toEqual({ low: 1, high: 1 });
    expect(moveEnd({ low: 3, high: 8 }, "both", 12)).toEqual({ low: 10, high: 10 });
    expect(moveEnd({ low: 3, high: 8 }, "low", -1)).toEqual({ low: 0, high: 8 });
  });
  test("a number becomes a range around it, a range its middle", () => {
    expect(switched({ low: 5, high: 5 })).toEqual({ low: 3, high: 7 });
    expect(switched({ low: 0, high: 0 })).toEqual({ low: 0, high: 2 });
    expect(switched({ low: 10, high: 10 })).toEqual({ low: 8, high: 10 });
    expect(switched({ low: 5, high: 8 })).toEqual({ low: 6.5, high: 6.5 });
  });
});

describe("edits", () => {
  test("bounds keep the other side", () => {
    expect(boundsText([{ side: "at most", text: "620 mm" }])).toBe("<= 620 mm");
    expect(withBound(brief, brief.limits[1]!, { side: "at most", text: " 80 kW " })).toEqual([
      { path: "limits.brake_power", text: '[">= 60 kW", "<= 80 kW"]' },
    ]);
    expect(withoutBound(brief, "brake_power", "at most")).toEqual([
      { path: "limits.brake_power", text: ">= 60 kW" },
    ]);
  });
  test("what nothing refers to any more goes along", () => {
    expect(withoutBound(brief, "length", "at most")).toEqual([
      { path: "limits.length" },
      { path: "why.length" },
    ]);
    expect(withoutPriority(brief.priorities[0]!).map((e) => e.path)).toEqual([
      "priorities.cost",
      "why.cost",
    ]);
    expect(withoutPriority(brief.priorities[1]!).map((e) => e.path)).toEqual([
      "priorities.quiet",
      "made_of.quiet",
    ]);
  });
  test("values carry units that a file has", () => {
    expect(valueText(0.25, "kg m²")).toBe("0.25 kg m2");
    expect(valueText(1.4, "1")).toBe("1.4");
    expect(valueText(594.1833333333333, "mm")).toBe("594.183 mm");
    expect(plain(1e-7)).toBe("1e-7");
  });
  test("a straight line is worst and best, anything else its points", () => {
    const at = (a: string, worth: number) => ({ at: a, worth });
    expect(worthText([at("400 mm", 1), at("620 mm", 0)])).toBe("{worst: 620 mm, best: 400 mm}");
    expect(worthText([at("400 mm", 1), at("500 mm", 0.8), at("620 mm", 0)])).toBe(
      "[{at: 400 mm, worth: 1}, {at: 500 mm, worth: 0.8}, {at: 620 mm, worth: 0}]",
    );
    // A sign that would end the map stands in quotes: the server says what is wrong with it.
    expect(worthText([at("4}, x: 1", 1), at("6 mm", 0)])).toBe('{worst: 6 mm, best: "4}, x: 1"}');
  });
  test("reasons lose their line breaks, empty ones go", () => {
    expect(whyEdit("cost", " the\n council ")).toEqual({ path: "why.cost", text: "the council" });
    expect(whyEdit("cost", " \n")).toEqual({ path: "why.cost" });
  });
  test("weights show before the server has answered", () => {
    const shown = shownPriorities(brief, [
      { path: "priorities.cost", text: "[1, 2]" },
      { path: "priorities.quiet" },
    ]);
    expect(shown.map((p) => [p.key, p.low_points, p.high_points])).toEqual([["cost", 1, 2]]);
  });
});

const engine = (name: string, place: number, points: number, values: number[]): ChosenDoc => ({
  name,
  file: `${name}.engine.yaml`,
  values,
  low: values,
  high: values,
  out: place > 0 ? [] : [{ measure: "length", margin: 1, keeps_1: 0, text: "1 mm too long" }],
  place,
  points,
  points_by_priority: [points],
  worth_by_priority_1: [points / 100],
  band: {
    p05_points: points,
    p25_points: points,
    p50_points: points,
    p75_points: points,
    p95_points: points,
  },
  front: true,
  dominated_by: [],
  rank_1: [0.5],
  rank_any_1: [0.25],
  central_1: [],
  central_any_1: [],
  confidence_1: 1,
  beats_1: [],
  risks: [],
  words: [],
  doubts: [],
  guidance: [],
});
const criterion = (key: string, better: "less" | "more" | "neither") => ({
  key,
  name: key,
  unit: "mm",
  better,
  own: false,
  worth: [],
});
const doc = {
  brief: { ...brief, priorities: [brief.priorities[0]] },
  criteria: [
    criterion("same", "less"),
    criterion("length", "less"),
    criterion("bound", "neither"),
    criterion("height", "less"),
  ],
  engines: [
    engine("b", 0, 90, [1, 5, 0, 1]),
    engine("c", 2, 40, [1, 6, 0, 2]),
    engine("a", 1, 60, [1, 7, 0, 3]),
  ],
} as unknown as ChoiceDoc;

describe("the choice in rows", () => {
  test("those that stand come by place, those ruled out last", () => {
    expect(ranked(doc).map((e) => e.name)).toEqual(["a", "c", "b"]);
  });
  test("the table has a cell for each head, and no place where there is none", () => {
    const rows = table(doc);
    expect(new Set(rows.map((r) => r.length)).size).toBe(1);
    expect(rows[0]).toContain("length [mm]");
    expect(rows[3]?.slice(0, 4)).toEqual(["", "b", "b.engine.yaml", "1 mm too long"]);
  });
  test("a trade-off begins with what tells the engines apart", () => {
    expect(traded(doc, "", "")).toEqual(["length", "height"]);
    expect(traded(doc, "height", "")).toEqual(["height", "length"]);
    expect(traded(doc, "", "length")).toEqual(["height", "length"]);
    expect(traded(doc, "bound", "gone")).toEqual(["length", "height"]);
  });
  test("a share that is not nothing does not look like it", () => {
    expect([0, 0.001, 0.5, 0.999, 1].map(percent)).toEqual([
      "0\u00a0%",
      "<\u202f1\u00a0%",
      "50\u00a0%",
      ">\u202f99\u00a0%",
      "100\u00a0%",
    ]);
  });
  test("estimates of the leader are looked at first", () => {
    const answer = {
      choice: doc,
      unknown: ["b", "c", "a"].map((n) => `${n}.engine.yaml`),
    } as unknown as ChoiceAnswer;
    expect(lookOrder(answer)).toEqual({
      stand: ["a.engine.yaml", "c.engine.yaml"],
      out: ["b.engine.yaml"],
    });
  });
  test("sixteen parts look different", () => {
    expect(new Set(Array.from({ length: 16 }, (_, k) => partLook(k))).size).toBe(16);
  });
});
