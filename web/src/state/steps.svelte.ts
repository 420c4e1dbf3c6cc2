/** Changes of one kind that follow each other faster than this are one step [ms]. */
const rest = 1000;
/** So many steps are kept. */
const most = 200;

/** What is not saved, step by step: states to go back to, and those to go forward to again. */
export class Steps<S> {
  #back = $state.raw<S[]>([]);
  #forth = $state.raw<S[]>([]);
  #kind = "";
  #at = 0;

  /** There is something to go back to. */
  get back(): boolean {
    return this.#back.length > 0;
  }
  /** There is something to go forward to. */
  get forth(): boolean {
    return this.#forth.length > 0;
  }

  /** A change comes: this is how it was before. A change without a kind is a step of its own. */
  note(before: S, kind = ""): void {
    const now = Date.now();
    const goesOn = kind !== "" && kind === this.#kind && now - this.#at < rest && this.back;
    if (!goesOn) this.#back = [...this.#back.slice(1 - most), before];
    this.#forth = [];
    this.#kind = kind;
    this.#at = now;
  }

  /** How it was one step before; as it is where there is none. */
  undo(now: S): S {
    return this.#turn(now, "undo");
  }

  /** How it was before that was undone; as it is where nothing was. */
  redo(now: S): S {
    return this.#turn(now, "redo");
  }

  #turn(now: S, way: "undo" | "redo"): S {
    const from = way === "undo" ? this.#back : this.#forth;
    const state = from.at(-1);
    if (from.length === 0) return now;
    const left = from.slice(0, -1);
    if (way === "undo") [this.#back, this.#forth] = [left, [...this.#forth, now]];
    else [this.#back, this.#forth] = [[...this.#back, now], left];
    this.#kind = "";
    return state as S;
  }

  /** What was not saved is in the file, or the file is another one: its own undo goes on from here. */
  clear(): void {
    this.#back = [];
    this.#forth = [];
    this.#kind = "";
  }
}
