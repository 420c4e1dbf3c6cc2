import { inWords } from "../api/client";
import type { StudyRefine } from "../api/types";

/** Milliseconds between looks at a refinement that goes on. */
const pace = 400;

/** What a refinement asks of the server. */
export interface RefineCalls {
  start(toward: string): Promise<StudyRefine>;
  look(): Promise<StudyRefine>;
  stop(): Promise<StudyRefine>;
}

/** The refinement of one candidate, followed while it goes on. */
export class Refining {
  #now = $state.raw<StudyRefine>();
  #fault = $state("");
  #asking = $state(false);
  #over = false;
  #poll: ReturnType<typeof setTimeout> | undefined;
  /** What was asked: an answer to an earlier question is not shown after a later one. */
  #asked = 0;
  readonly #calls: RefineCalls;

  constructor(calls: RefineCalls) {
    this.#calls = calls;
  }

  get now(): StudyRefine | undefined {
    return this.#now;
  }
  get running(): boolean {
    return this.#now?.state === "running";
  }
  /** What did not work. */
  get fault(): string {
    return this.#fault || (this.#now?.failure ?? "");
  }
  /** It is being started or stopped. */
  get asking(): boolean {
    return this.#asking;
  }

  look(): Promise<void> {
    return this.#ask(() => this.#calls.look());
  }

  async start(toward: string): Promise<void> {
    this.#asking = true;
    await this.#ask(() => this.#calls.start(toward));
    this.#asking = false;
  }

  async stop(): Promise<void> {
    this.#asking = true;
    await this.#ask(() => this.#calls.stop());
    this.#asking = false;
  }

  /** Nobody looks any more: what goes on is stopped, what was found is kept by the server. */
  end(): void {
    this.#over = true;
    clearTimeout(this.#poll);
    if (this.running || this.#asking) this.#calls.stop().catch(() => undefined);
  }

  async #ask(call: () => Promise<StudyRefine>): Promise<void> {
    clearTimeout(this.#poll);
    const number = ++this.#asked;
    try {
      const now = await call();
      if (number !== this.#asked) return;
      this.#now = now;
      this.#fault = "";
    } catch (e) {
      if (number !== this.#asked) return;
      this.#fault = inWords(e);
    }
    if (this.running && !this.#over) this.#poll = setTimeout(() => void this.look(), pace);
  }
}
