import { describe, expect, it } from "vitest";
import type { StudyEntry, StudyPlan, StudyRun } from "../api/types";
import {
  advice,
  complete,
  courseWords,
  endWords,
  partWords,
  proposed,
  standing,
  stepOf,
  wrong,
} from "./how";

const of = (run: Partial<StudyRun>): StudyRun => ({
  file: "x.study.yaml",
  state: "none",
  done: 0,
  total: 0,
  kept: 0,
  per_second: 0,
  seconds_left: 0,
  left_out: [],
  agrees: true,
  columns: [],
  front: [],
  front_size: 0,
  best: [],
  ...run,
});
type Evolution = NonNullable<StudyRun["evolution"]>;
const bred = (evolution: Partial<Evolution>, run: Partial<StudyRun> = {}): StudyRun =>
  of({
    state: "whole",
    done: 5000,
    total: 5000,
    kept: 900,
    front_size: 31,
    evolution: {
      seed: 7,
      generation: 50,
      evaluations: 5000,
      still: 20,
      generations: 100,
      unchanged: 3,
      ended: true,
      space: 2_187_000,
      ...evolution,
    },
    ...run,
  });
const stopped = bred({ ended: false, generations: 40 }, { state: "part", done: 2000 });
const every = of({ state: "whole", done: 512, total: 512, kept: 400 });
const own = (run: StudyRun) => proposed(run.evolution?.space ?? run.total, run);

describe("numbers of an evolutionary search", () => {
  it("are a tenth of the space, and those of what goes on", () => {
    const first = { generation: 100, seed: 1, still: 20 };
    expect(proposed(512, undefined)).toEqual({ evaluations: 2000, ...first });
    expect(proposed(50_000, of({}))).toEqual({ evaluations: 5000, ...first });
    expect(proposed(1e9, every)).toEqual({ evaluations: 100_000, ...first });
    const same = { generation: 50, seed: 7, still: 20 };
    expect(own(stopped)).toEqual({ evaluations: 5000, ...same });
    expect(own(bred({}))).toEqual({ evaluations: 10_000, ...same });
    expect(own(bred({ space: 6000 }))).toEqual({ evaluations: 6000, ...same });
    expect(own(bred({ unchanged: 20 }, { done: 4000 }))).toEqual({
      evaluations: 5000,
      ...same,
      still: 40,
    });
    expect(proposed(30_000, bred({}, { stale: "x has changed" }))).toEqual({
      evaluations: 3000,
      ...same,
    });
  });

  it("are whole numbers within bounds", () => {
    const numbers = proposed(1, undefined);
    expect(wrong(numbers)).toBe("");
    expect(wrong({ ...numbers, evaluations: NaN })).toContain("from 1 on");
    expect(wrong({ ...numbers, generation: 3 })).toContain("from 4 to 10\u202f000");
    expect(wrong({ ...numbers, seed: 1.5 })).toContain("Seed");
    expect(wrong({ ...numbers, seed: 0 })).toBe("");
  });
});

describe("the button", () => {
  const step = (run: StudyRun, how: "every" | "part", dirty = false, more = {}) =>
    stepOf(run, how, { ...own(run), ...more }, dirty);

  it("runs, and goes on with what is of the same search", () => {
    expect(step(of({}), "every")).toMatchObject({ label: "Run", can: true, anew: false, note: "" });
    expect(step(of({}), "every").ask).toBeUndefined();
    expect(step(of({}), "part").ask).toEqual(own(of({})));
    expect(step(stopped, "part")).toMatchObject({
      label: "Go on",
      anew: false,
      ask: { evaluations: 5000, still: 20 },
    });
    expect(step(bred({}), "part")).toMatchObject({
      label: "Go on",
      can: true,
      anew: false,
      ask: { evaluations: 10_000, still: 20 },
    });
    expect(step(every, "every")).toMatchObject({ label: "Run anew", can: false });
    expect(step(every, "every", true)).toMatchObject({ label: "Save and run", anew: true });
    expect(step(stopped, "part", true)).toMatchObject({ label: "Save and go on", anew: false });
  });

  it("says what it sets aside", () => {
    const toPart = step(every, "part");
    expect(toPart).toMatchObject({ label: "Run anew", can: true, anew: true });
    expect(toPart.note).toContain("of a search of every candidate; running anew sets it aside");
    const toEvery = step(bred({}), "every");
    expect(toEvery).toMatchObject({ label: "Run anew", anew: true, ask: undefined });
    expect(toEvery.note).toContain("seed 7 and generations of 50");
    const otherSeed = step(stopped, "part", false, { seed: 8 });
    expect(otherSeed).toMatchObject({ anew: true, ask: { seed: 8, generation: 50 } });
    expect(step({ ...stopped, stale: "x has changed" }, "part")).toMatchObject({
      label: "Run anew",
      anew: true,
      note: "",
      ask: { seed: 7 },
    });
  });

  it("says what is needed to go on", () => {
    const fewer = step(bred({}), "part", false, { evaluations: 5000 });
    expect(fewer.can).toBe(false);
    expect(fewer.note).toContain("5\u202f000");
    const still = step(bred({ unchanged: 20 }), "part", false, { still: 20 });
    expect(still.can).toBe(false);
    expect(still.note).toContain("generations without a change than the 20");
    expect(step(bred({ space: 5000 }), "part").can).toBe(false);
    expect(step(of({}), "part", false, { generation: 2 })).toMatchObject({ can: false });
  });
});

describe("words of an evolutionary search", () => {
  it("never say that nothing was left out, unless every candidate was looked at", () => {
    expect(complete(bred({}))).toBe(false);
    expect(complete(bred({ space: 5000 }))).toBe(true);
    expect(complete(every)).toBe(true);
    expect(complete(stopped)).toBe(false);
    expect(partWords(bred({}))).toBe(
      "5\u202f000 of 2\u202f187\u202f000 candidates were looked at, chosen by evolution: what was not looked at may be better",
    );
  });

  it("say how far it is and why it ended", () => {
    expect(courseWords({ ...stopped, state: "running" })).toBe(
      "Generation 41: 2\u202f000 of at most 5\u202f000 looked at, a front of 31, unchanged for 3 generations",
    );
    expect(courseWords(stopped)).toMatch(/^Generation 40: /);
    expect(endWords(bred({ unchanged: 20 }))).toMatch(/ended because the front stayed .* 20 gen/);
    expect(endWords(bred({ unchanged: 0 }))).toContain("a larger number may find better ones");
    expect(endWords(bred({}))).toMatch(/number of candidates .* for 3 generations\.$/);
    expect(endWords(bred({ space: 5000 }))).toContain("because every candidate was looked at");
    expect(endWords(stopped)).not.toContain("ended");
  });

  it("say when it is for", () => {
    const plan = (seconds: number) =>
      ({ size: { candidates_1: 2_187_000, rough_time_s: seconds } }) as StudyPlan;
    expect(advice(plan(7200))).toMatch(/2.187.000 candidates, which take about 2 h 0 min\.$/);
    expect(advice(plan(5))).toContain("looking at every one is better here");
    expect(advice(undefined)).toMatch(/too long\.$/);
  });

  it("say in the list that it is a part", () => {
    const entry = { running: false, problems: 0, done: 5000, candidates: 9000, kept: 40 };
    const say = (e: Partial<StudyEntry>) => standing({ ...entry, ...e } as StudyEntry);
    expect(say({ results: "whole" })).toBe("40 kept, 5\u202f000 of 9\u202f000 looked at");
    expect(say({ results: "whole", done: 9000 })).toBe("40 kept of 9\u202f000");
    expect(say({ results: "part" })).toBe("5\u202f000 of 9\u202f000 looked at");
    expect(say({ results: "none" })).toBe("not run");
  });
});
