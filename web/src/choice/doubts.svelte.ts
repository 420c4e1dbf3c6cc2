import { ApiError, inWords } from "../api/client";
import type { ChoiceAnswer } from "../api/types";
import { lineup } from "../state/lineup.svelte";
import { lookAt } from "./calls";
import { problemsOf, type ChoiceSession } from "./session.svelte";

/** So many engines are looked at without being asked for. */
export const unasked = 12;

/** Engines whose estimates are not known: those that stand first, the best of them first. */
export function lookOrder(answer: ChoiceAnswer): { stand: string[]; out: string[] } {
  const place = new Map(answer.choice?.engines.map((e) => [e.file, e.place]) ?? []);
  const stand = answer.unknown.filter((f) => (place.get(f) ?? 0) > 0);
  stand.sort((a, b) => (place.get(a) ?? 0) - (place.get(b) ?? 0));
  return { stand, out: answer.unknown.filter((f) => !stand.includes(f)) };
}

/** Looks at the estimates of one engine after the other; after each the choice is asked anew. */
export class Looking {
  #at = $state("");
  #far = $state(0);
  #stopped = $state(false);
  #failed = $state.raw<{ file: string; why: string }[]>([]);
  #control: AbortController | undefined;
  readonly #session: ChoiceSession;
  readonly #tried = new Set<string>();

  constructor(session: ChoiceSession) {
    this.#session = session;
  }

  /** File of the engine that is being looked at; empty: none. */
  get at(): string {
    return this.#at;
  }
  /** How far that is, 0 to 1; 0 where it is quick. */
  get far(): number {
    return this.#far;
  }
  /** The reader stopped it. */
  get stopped(): boolean {
    return this.#stopped;
  }
  /** Engines whose estimates could not be looked at. */
  get failed(): { file: string; why: string }[] {
    return this.#failed;
  }

  /** Looks at engines until none is left of them. */
  async run(files: string[]): Promise<void> {
    if (this.#control) return;
    const control = new AbortController();
    this.#control = control;
    this.#stopped = false;
    for (const file of files) {
      const draft = this.#session.draft;
      if (!draft || control.signal.aborted) break;
      if (!this.#session.answer?.unknown.includes(file)) continue;
      this.#at = file;
      this.#tried.add(this.#key(file));
      try {
        this.#far = 0;
        await lookAt(draft, file, control.signal, (ends, of) => {
          this.#far = of > 0 ? ends / of : 0;
        });
        this.#session.again();
      } catch (e) {
        if (control.signal.aborted) break;
        // A brief that cannot be used, or no server: nothing is wrong with the engine.
        if ((e instanceof ApiError && e.fault === "gone") || problemsOf(e).length > 0) break;
        this.#failed = [...this.#failed, { file, why: inWords(e) }];
      }
    }
    if (this.#control === control) this.#end();
  }

  /** An engine was looked at already, for the figures that count now. */
  tried(file: string): boolean {
    return this.#tried.has(this.#key(file));
  }

  #key(file: string): string {
    const figures = this.#session.choice?.criteria.map((c) => c.key) ?? [];
    return [file, lineup.entry(file)?.etag, ...figures].join(" ");
  }

  stop(): void {
    this.#stopped = true;
    this.#end();
  }

  #end(): void {
    this.#control?.abort();
    this.#control = undefined;
    this.#at = "";
  }

  end(): void {
    this.#end();
  }
}
