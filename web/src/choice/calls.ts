import type { ChoiceAnswer, DoubtsAnswer, Edit } from "../api/types";
import { postJson } from "../engine/calls";

/** A brief as it would stand. */
export interface BriefDraft {
  file: string;
  text: string;
  edits: Edit[];
}

/** What a choice is asked of. */
export interface Ask {
  brief: BriefDraft;
  /** None: all engines. */
  files: string[];
  seed: number;
}

export function choose(ask: Ask, signal: AbortSignal): Promise<ChoiceAnswer> {
  return postJson("/api/choice", ask, signal);
}

/**
 * Finds how far the estimates of an engine may be off; the next choice takes them in. The server looks in the
 * background and answers every few seconds how far it is.
 */
export async function lookAt(
  brief: BriefDraft,
  file: string,
  signal: AbortSignal,
  far: (ends: number, of: number) => void,
): Promise<void> {
  for (;;) {
    const answer: DoubtsAnswer = await postJson("/api/choice/doubts", { brief, file }, signal);
    if (answer.done) return;
    far(answer.ends, answer.of);
  }
}
