// How a study is searched: every candidate, or a part of them by evolution; and what a search by evolution says of itself.

import type { StudyEntry, StudyEvolve, StudyPlan, StudyRun } from "../api/types";
import { counted, many, roughly } from "./words";

export type How = "every" | "part";

/** What decides an evolutionary search. */
export interface Numbers {
  /** It ends with the generation in which so many candidates were looked at. */
  evaluations: number;
  /** Candidates of a generation. */
  generation: number;
  seed: number;
  /** It also ends when the front stays as it is for so many generations. */
  still: number;
}

/** What each may be; the server says the same. */
export const bounds: Record<keyof Numbers, { name: string; least: number; most: number }> = {
  evaluations: { name: "Candidates to look at", least: 1, most: Number.MAX_SAFE_INTEGER },
  generation: { name: "Candidates of a generation", least: 4, most: 10_000 },
  seed: { name: "Seed", least: 0, most: Number.MAX_SAFE_INTEGER },
  still: { name: "Generations without a change", least: 1, most: 1_000_000 },
};

/** What is wrong with the numbers; empty: nothing. */
export function wrong(numbers: Numbers): string {
  for (const key of Object.keys(bounds) as (keyof Numbers)[]) {
    const { name, least, most } = bounds[key];
    const v = numbers[key];
    if (!Number.isInteger(v) || v < least || v > most)
      return most === Number.MAX_SAFE_INTEGER
        ? `${name}: give a whole number from ${least} on.`
        : `${name}: give a whole number from ${least} to ${counted(most)}.`;
  }
  return "";
}

/** A tenth of the space, at least 2000, at most 100 000. */
const tenth = (space: number) => Math.min(Math.max(Math.floor(space / 10), 2000), 100_000);

/**
 * Numbers that are sensible for a study: those of its results where these can go on, and larger ones where they have
 * ended.
 */
export function proposed(space: number | undefined, run: StudyRun | undefined): Numbers {
  const e = run?.evolution;
  const evaluations = tenth(space ?? e?.space ?? run?.total ?? 0);
  if (!run || !e) return { evaluations, generation: 100, seed: 1, still: 20 };
  const { generation, seed, still } = e;
  if (run.stale) return { evaluations, generation, seed, still };
  if (!e.ended) return { evaluations: e.evaluations, generation, seed, still };
  return {
    evaluations:
      run.done >= e.evaluations
        ? Math.max(run.done, Math.min(2 * run.done, e.space))
        : e.evaluations,
    generation,
    seed,
    still: e.unchanged >= still ? 2 * e.unchanged : still,
  };
}

/** Whether every candidate of the space was looked at. */
export const complete = (run: StudyRun) =>
  run.state === "whole" && (!run.evolution || run.done === run.evolution.space);

/** What the button of a search does. */
export interface Step {
  label: string;
  can: boolean;
  /** The results that are there are set aside first. */
  anew: boolean;
  /** What the reader should know before; empty: nothing. */
  note: string;
  /** What is asked of the server; undefined: every candidate. */
  ask: StudyEvolve | undefined;
}

export function stepOf(
  run: StudyRun | undefined,
  how: How,
  numbers: Numbers,
  dirty: boolean,
): Step {
  const there = run && run.state !== "none" ? run : undefined;
  const e = there?.evolution;
  const stale = !!there?.stale;
  const whole = there?.state === "whole";
  const part = how === "part";
  const other =
    !!there &&
    (part !== !!e ||
      (part && !!e && (e.seed !== numbers.seed || e.generation !== numbers.generation)));
  const anew = stale || other || (whole && (!part || dirty));
  const { evaluations, still } = numbers;
  const step: Step = {
    label: "Run",
    can: true,
    anew,
    note: "",
    // What goes on keeps its seed and its generations.
    ask: !part ? undefined : there && !anew ? { evaluations, still } : { ...numbers },
  };
  if (dirty) step.label = there && !whole && !anew ? "Save and go on" : "Save and run";
  else if (stale || other) step.label = "Run anew";
  else if (there) step.label = whole && !part ? "Run anew" : "Go on";
  if (part && wrong(numbers)) return { ...step, can: false, note: wrong(numbers) };
  if (stale || dirty) return step;
  if (there && other) return { ...step, note: asideWords(there) };
  if (!there || !whole) return step;
  if (!e) return { ...step, can: false };
  const needs: string[] = [];
  if (evaluations <= there.done)
    needs.push(`more candidates to look at than the ${counted(there.done)} that were`);
  if (still <= e.unchanged)
    needs.push(
      `more generations without a change than the ${counted(e.unchanged)} that there were`,
    );
  if (complete(there)) return { ...step, can: false };
  return needs.length > 0
    ? { ...step, can: false, note: `To go on, give ${needs.join(", and ")}.` }
    : step;
}

/** What stands in the way of a search that is another. */
function asideWords(run: StudyRun): string {
  const e = run.evolution;
  const what = e
    ? `a search by evolution with seed ${e.seed} and generations of ${counted(e.generation)}`
    : "a search of every candidate";
  return `What stands below is of ${what}; running anew sets it aside in .crankwright.`;
}

/** When to look at a part only. */
export function advice(plan: StudyPlan | undefined): string {
  const when = "It is for a study of which looking at every candidate would take too long";
  if (!plan) return `${when}.`;
  const size = many(plan.size.candidates_1, "candidate");
  const seconds = plan.size.rough_time_s ?? 0;
  const time = roughly(seconds);
  if (!time) return `${when}; this one has ${size}.`;
  const rather =
    seconds <= 300 ? ": looking at every one is better here, as nothing is missed" : "";
  return `${when}; this one has ${size}, which take ${time}${rather}.`;
}

/** How far an evolutionary search is. */
export function courseWords(run: StudyRun): string {
  const e = run.evolution;
  if (!e) return "";
  const still =
    e.unchanged > 0 ? `, unchanged for ${many(e.unchanged, "generation")}` : ", still changing";
  return `Generation ${counted(e.generations + (run.state === "running" ? 1 : 0))}: ${counted(run.done)} of at most ${counted(run.total)} looked at, a front of ${counted(run.front_size)}${run.front_size > 0 ? still : ""}`;
}

/** What a search by evolution that has ended did not do. */
export function partWords(run: StudyRun): string {
  return `${counted(run.done)} of ${many(run.evolution?.space ?? 0, "candidate")} were looked at, chosen by evolution: what was not looked at may be better`;
}

/** How an evolutionary search went, and why it ended. */
export function endWords(run: StudyRun): string {
  const e = run.evolution;
  if (!e) return "";
  const how = `${many(e.generations, "generation")} of ${counted(e.generation)}, seed ${e.seed}: the same seed gives the same candidates.`;
  const still = `the front stayed as it was for ${many(e.unchanged, "generation")}`;
  if (!e.ended) return how;
  if (complete(run)) return `${how} It ended because every candidate was looked at.`;
  if (e.unchanged >= e.still) return `${how} It ended because ${still}.`;
  if (e.unchanged === 0)
    return `${how} It ended at the number of candidates that it was given, while the front was still changing: a larger number may find better ones.`;
  return `${how} It ended at the number of candidates that it was given; up to then ${still}.`;
}

/** How far a study of the list is. */
export function standing(s: StudyEntry): string {
  if (s.running) return "running";
  if (s.problems > 0) return `${s.problems} wrong`;
  const of = `${counted(s.done)} of ${counted(s.candidates)}`;
  if (s.results === "whole")
    return s.done === s.candidates
      ? `${counted(s.kept)} kept of ${counted(s.candidates)}`
      : `${counted(s.kept)} kept, ${of} looked at`;
  return s.results === "part" ? `${of} looked at` : "not run";
}
