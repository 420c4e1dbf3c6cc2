import { Steps } from "../state/steps.svelte";

/** A state of a file. */
interface State {
  text: string;
  etag: string;
}

/** A text that is being written, and the state of the file that it was begun over. */
interface Draft {
  text: string;
  over: State;
}

/**
 * A text that is being written in the place of a file's. It is saved over the state that it was begun over, whatever the
 * file has become meanwhile, so that nothing of anybody else is overwritten unseen.
 */
export class Writing {
  #draft = $state.raw<Draft>();
  readonly #steps = new Steps<Draft | undefined>();

  /** As it is written; undefined: as in the file. */
  get text(): string | undefined {
    return this.#draft?.text;
  }
  /** What it was begun over. */
  get over(): State | undefined {
    return this.#draft?.over;
  }
  get back(): boolean {
    return this.#steps.back;
  }
  get forth(): boolean {
    return this.#steps.forth;
  }

  /** Writes; undefined: as in the file, which is what begins where nothing is written yet. */
  write(text: string | undefined, file: State): void {
    if (text === this.text) return;
    this.#steps.note(this.#draft, text === undefined ? "" : "text");
    const over = this.#draft?.over ?? file;
    this.#draft = text === undefined || text === over.text ? undefined : { text, over };
  }

  /** Goes on over this state: the file was saved, or the writer knows of it. */
  startFrom(over: State): void {
    if (this.#draft)
      this.#draft = this.#draft.text === over.text ? undefined : { ...this.#draft, over };
    this.#steps.clear();
  }

  /** Something else was saved: what was given up of the text before is no more the last thing that undo takes. */
  forget(): void {
    if (!this.#draft) this.#steps.clear();
  }

  /** The file is in this state; where its text is that from which the writing began, that is its state too. */
  meet({ text, etag }: State): void {
    if (this.#draft?.over.text === text) this.#draft = { ...this.#draft, over: { text, etag } };
  }

  undo(): void {
    this.#draft = this.#steps.undo(this.#draft);
  }

  redo(): void {
    this.#draft = this.#steps.redo(this.#draft);
  }
}
