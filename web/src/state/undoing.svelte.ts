/** What a page has not saved, as undo and redo take it. */
export interface Undoable {
  /** What undo would take back, in words; empty: nothing. */
  readonly undoes: string;
  /** What redo would do again. */
  readonly redoes: string;
  undo(): void;
  redo(): void;
  /** Until nothing is on its way into the folder. */
  settled(): Promise<unknown>;
}

/** The one way of undo, for its button and its key: first what the page has not saved, then the folder's history. */
class Undoing {
  #page = $state.raw<Undoable>();

  /** The page that is shown; undefined: it keeps nothing of its own. */
  get page(): Undoable | undefined {
    return this.#page;
  }

  /** A page comes; returns what to do when it goes. */
  of(page: Undoable): () => void {
    this.#page = page;
    return () => {
      if (this.#page === page) this.#page = undefined;
    };
  }
}

export const undoing = new Undoing();
