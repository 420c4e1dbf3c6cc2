import { getBrief, saveBrief } from "../api/calls";
import { ApiError, inWords } from "../api/client";
import type { BriefDoc, BriefView, ChoiceAnswer, ChoiceDoc, Edit, Problem } from "../api/types";
import { LatestQueue, Line, mergeEdits } from "../engine/queue";
import { keptByFile } from "../state/kept";
import { lineup } from "../state/lineup.svelte";
import { Steps } from "../state/steps.svelte";
import type { Undoable } from "../state/undoing.svelte";
import { choose, type Ask, type BriefDraft } from "./calls";
import { shownPriorities } from "./edits";

/** The problems of a brief that an answer tells of; none: it was refused for something else. */
export function problemsOf(e: unknown): Problem[] {
  const body = e instanceof ApiError ? (e.body as { problems?: Problem[] } | null) : null;
  return body?.problems ?? [];
}

/** What was refused, with the places that are wrong. */
function refusal(e: unknown): string {
  if (!(e instanceof ApiError) || e.places.length === 0) return inWords(e);
  return e.places.map((p) => p.message).join("; ");
}

/** What is not saved of a brief, and the state of the file that it is tried over. */
interface Tried {
  base: BriefView | undefined;
  edits: Edit[];
  text: string | undefined;
}

/**
 * A brief being weighed. Edits are tried without saving, and taken back one by one; save() writes them as one step
 * of the folder's history, discard() returns to the file. Of many questions in a row the last one counts, and the
 * last good answer stays until a newer one has come.
 */
export class ChoiceSession implements Undoable {
  readonly file: string;
  #base = $state.raw<BriefView>();
  #edits = $state.raw<Edit[]>([]);
  #text = $state<string>();
  #brief = $state.raw<BriefDoc>();
  #answer = $state.raw<ChoiceAnswer>();
  #asked = $state.raw<Ask>();
  #problems = $state.raw<Problem[]>([]);
  #fault = $state("");
  #busy = $state(false);
  #saving = $state(false);
  #clash = $state(false);
  /** Of the file on disk, as far as it is known here; what is tried may have begun over an older one. */
  #now = "";
  #files: string[] = [];
  #seed = 1;
  #later: ReturnType<typeof setTimeout> | undefined;
  readonly #steps = new Steps<Tried>();
  readonly #line = new Line();
  readonly #queue: LatestQueue<Ask, ChoiceAnswer>;

  constructor(file: string) {
    this.file = file;
    this.#queue = new LatestQueue<Ask, ChoiceAnswer>({
      send: choose,
      apply: (answer, ask) => this.#take(answer, ask),
      fail: (e) => this.#failed(e),
    });
  }

  /** The file on disk, as far as it is known here. */
  get base(): BriefView | undefined {
    return this.#base;
  }
  /** The brief with what is being tried: the last one that could be read. */
  get brief(): BriefDoc | undefined {
    return this.#brief;
  }
  get priorities() {
    return this.#brief ? shownPriorities(this.#brief, this.#edits) : [];
  }
  get answer(): ChoiceAnswer | undefined {
    return this.#answer;
  }
  get choice(): ChoiceDoc | undefined {
    return this.#answer?.choice;
  }
  /** What the answer was asked of, for pictures of the same. */
  get asked(): Ask | undefined {
    return this.#asked;
  }
  /** Everything that is wrong with the brief as it would stand. */
  get problems(): Problem[] {
    return this.#problems;
  }
  get fault(): string {
    return this.#fault;
  }
  get busy(): boolean {
    return this.#busy;
  }
  get saving(): boolean {
    return this.#saving;
  }
  get edits(): Edit[] {
    return this.#edits;
  }
  /** A whole text that is being tried in place of the file's. */
  get text(): string | undefined {
    return this.#text;
  }
  get dirty(): boolean {
    return this.#edits.length > 0 || this.#text !== undefined;
  }
  /** What is shown is older than what stands in the fields, because that cannot be used. */
  get stale(): boolean {
    return this.#problems.length > 0 && !!this.#answer;
  }
  /** Somebody else changed the file while something here is not saved. */
  get clash(): boolean {
    return this.#clash;
  }
  /** The brief as it would stand, for questions about the same. */
  get draft(): BriefDraft | undefined {
    if (!this.#base) return undefined;
    return { file: this.file, text: this.#text ?? this.#base.text, edits: this.#edits };
  }

  /** Goes on where it was left, or begins. */
  begin(): void {
    if (this.#base) this.again();
    else void this.load();
  }

  /** Reads the file. */
  async load(): Promise<void> {
    try {
      this.#takeBase(await getBrief(this.file));
    } catch (e) {
      this.#fault = inWords(e);
    }
  }

  /** The file on disk has this etag now. */
  noticed(etag: string | undefined): void {
    if (!this.#base || this.#saving || etag === undefined || etag === this.#base.etag) return;
    if (this.dirty) return void this.#look();
    this.#steps.clear();
    void this.load();
  }

  /** Whether the file is another one than that which the changes start from: a line-up may be an old one. */
  async #look(): Promise<void> {
    const view = await getBrief(this.file).catch(() => undefined);
    if (!view || !this.dirty || this.#saving || view.etag === this.#base?.etag) return;
    this.#now = view.etag;
    this.#clash = true;
  }

  /** Chooses among other engines, or with another seed; engines that changed are judged anew. */
  among(files: string[], seed: number): void {
    this.#files = files;
    this.#seed = seed;
    this.again();
  }

  /** Asks once more. */
  again(): void {
    clearTimeout(this.#later);
    const brief = this.draft;
    if (!brief) return;
    this.#busy = true;
    this.#queue.push({ brief, files: this.#files, seed: this.#seed });
  }

  /** Tries edits. Later edits of one key replace earlier ones. */
  try(edits: Edit[]): void {
    if (!this.#base || this.#text !== undefined) return;
    this.#steps.note(this.#tried(), edits.map((e) => e.path).join());
    this.#edits = mergeEdits(this.#edits, edits);
    this.again();
  }

  /** Tries a whole text. */
  tryText(text: string | undefined): void {
    const to = text === this.#base?.text ? undefined : text;
    if (to === this.#text) return;
    this.#steps.note(this.#tried(), to === undefined ? "" : "text");
    this.#text = to;
    this.again();
  }

  /** Back to the file; undo brings it back. */
  discard(): void {
    if (this.dirty) this.#steps.note(this.#tried());
    this.#edits = [];
    this.#text = undefined;
    this.#clash = false;
    if (this.#base) this.#takeBase(this.#base);
    const now = lineup.data?.briefs.find((b) => b.file === this.file)?.etag;
    if (now && now !== this.#base?.etag) void this.load();
  }

  get undoes(): string {
    return this.#steps.back ? "the last change of the brief, which is not saved" : "";
  }
  get redoes(): string {
    return this.#steps.forth ? "the change of the brief that was taken back" : "";
  }
  undo(): void {
    this.#put(this.#steps.undo(this.#tried()));
  }
  redo(): void {
    this.#put(this.#steps.redo(this.#tried()));
  }
  settled(): Promise<unknown> {
    return this.#line.run(() => Promise.resolve());
  }

  #tried(): Tried {
    return { base: this.#base, edits: this.#edits, text: this.#text };
  }

  #put({ base, edits, text }: Tried): void {
    this.#edits = edits;
    this.#text = text;
    // What was tried over another state of the file meets the one that is there now.
    if (this.dirty) this.#base = base;
    const old = this.#base?.etag !== this.#now;
    this.#clash = this.dirty && old;
    if (old && !this.dirty) void this.load();
    else this.again();
  }

  /** Writes what is being tried into the file. */
  save(): Promise<void> {
    return this.#line.run(async () => {
      const base = this.#base;
      if (!base || !this.dirty) return;
      const edits = this.#edits;
      const text = this.#text;
      this.#saving = true;
      try {
        const view = await saveBrief(
          this.file,
          base.etag,
          text === undefined ? { edits } : { text },
        );
        // What was done while it was being saved stays.
        this.#edits = this.#edits.filter((e) => !edits.includes(e));
        if (this.#text === text) this.#text = undefined;
        this.#steps.clear();
        this.#clash = false;
        this.#takeBase(view);
        void lineup.refresh();
      } catch (e) {
        if (e instanceof ApiError && e.fault === "conflict") this.#clash = true;
        else this.#failed(e);
      } finally {
        this.#saving = false;
      }
    });
  }

  /** Ends a clash: the file as it is now; or my changes in it, or my text in its place, once they are saved. */
  async settle(how: "theirs" | "mine"): Promise<void> {
    this.#clash = false;
    this.#steps.note(this.#tried());
    if (how === "theirs") {
      this.#edits = [];
      this.#text = undefined;
    }
    await this.load();
  }

  /** Rests until begin(); what is not saved stays. */
  rest(): void {
    clearTimeout(this.#later);
    this.#queue.drop();
  }

  #takeBase(view: BriefView): void {
    this.#base = view;
    this.#now = view.etag;
    this.#fault = "";
    this.#problems = view.problems;
    if (view.brief) this.#brief = view.brief;
    this.again();
  }

  #take(answer: ChoiceAnswer, ask: Ask): void {
    this.#answer = answer;
    this.#asked = ask;
    if (answer.choice) this.#brief = answer.choice.brief;
    this.#problems = [];
    this.#fault = "";
    this.#busy = this.#queue.wants;
  }

  #failed(e: unknown): void {
    this.#busy = this.#queue.wants;
    this.#problems = problemsOf(e);
    this.#fault = this.#problems.length > 0 ? "" : refusal(e);
    clearTimeout(this.#later);
    if (e instanceof ApiError && e.fault === "gone")
      this.#later = setTimeout(() => this.again(), 2000);
  }
}

/** The session of a brief. */
export const sessionOf = keptByFile((file) => new ChoiceSession(file));
