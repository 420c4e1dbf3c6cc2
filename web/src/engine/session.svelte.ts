import { tick } from "svelte";
import { getEngine } from "../api/calls";
import { ApiError, inWords } from "../api/client";
import type { Edit, EngineDocument, EngineView, Field, Geometry, Problem } from "../api/types";
import { keptByFile } from "../state/kept";
import { lineup } from "../state/lineup.svelte";
import type { Undoable } from "../state/undoing.svelte";
import { preview, save, type Draft } from "./calls";
import { LatestQueue, Line, mergeEdits } from "./queue";
import { Writing } from "./writing.svelte";

/** How the page stands with the file. */
export type Standing = "loading" | "saved" | "trying" | "saving" | "unsaved" | "missing";

/** A save that met a file which is another one now. What was to be saved is in the session. */
export interface Conflict {
  /** What is being saved: changed inputs, or a whole text. */
  of: "edits" | "text";
  theirs: EngineView;
  /** Crank speed at which theirs was read [rpm]. */
  speed: number;
}

interface Job {
  draft: Draft;
  asked: number;
}

/** Between a request that the server did not answer and the next one [ms]. */
const pause = 2000;

/**
 * One engine being worked on. What is shown is the file with the edits of the gesture that is going on;
 * try() shows edits without saving, commit() saves them as one step that undo takes back, cancel()
 * returns to the file. What the server did not answer is asked again until it is back.
 */
export class EngineSession implements Undoable {
  readonly file: string;
  #base = $state.raw<EngineView>();
  #shown = $state.raw<EngineView>();
  #sound = $state.raw<EngineView>();
  #before = $state.raw<EngineDocument>();
  /** What is tried, and what is to be saved. */
  #pending = $state.raw<Edit[]>([]);
  #saving = $state.raw<Edit[]>([]);
  /** Saves that go on or stand in line. */
  #sending = $state(0);
  #refused = $state(false);
  #missing = $state(false);
  #fault = $state("");
  #conflict = $state.raw<Conflict>();
  #speed = $state(0);
  /** The speed at which the file itself was read. */
  #baseSpeed = 0;
  /** The server did not answer what was asked last. */
  #missed = false;
  /** Readings of the file: what was asked for before a later one, or before a save, is not shown after it. */
  #reads = 0;
  #later: ReturnType<typeof setTimeout> | undefined;
  #wake: ReturnType<typeof setTimeout> | undefined;
  readonly #writing = new Writing();
  readonly #line = new Line();
  readonly #queue: LatestQueue<Job, EngineView>;

  constructor(file: string) {
    this.file = file;
    this.#queue = new LatestQueue<Job, EngineView>({
      send: (job, signal) => preview(job.draft, signal),
      apply: (view, job) => {
        this.#missed = false;
        this.#take(view, job.asked);
      },
      fail: (e) => this.#unanswered(e),
    });
  }

  /** What is shown: the file, or the file with the edits that are being tried. */
  get view(): EngineView | undefined {
    return this.#shown;
  }
  /** The numbers: of what is shown, or the last good ones where that is wrong. */
  get doc(): EngineDocument | undefined {
    return this.#shown?.result ?? this.#sound?.result;
  }
  get geometry(): Geometry | undefined {
    return this.#shown?.geometry ?? this.#sound?.geometry;
  }
  /** The numbers are older than the inputs, because the inputs are wrong. */
  get stale(): boolean {
    return !!this.#shown && !this.#shown.result && !!this.#sound;
  }
  /** The numbers before the gesture that is going on. */
  get before(): EngineDocument | undefined {
    return this.#before;
  }
  get fields(): Field[] {
    return this.#shown?.fields ?? [];
  }
  get problems(): Problem[] {
    return this.#shown?.problems ?? [];
  }
  get standing(): Standing {
    if (this.#missing) return "missing";
    if (!this.#base) return "loading";
    if (this.#sending > 0) return "saving";
    if (this.#saving.length > 0 || this.#refused) return "unsaved";
    if (this.#pending.length > 0) return "trying";
    return this.text === undefined ? "saved" : "unsaved";
  }
  get fault(): string {
    return this.#fault;
  }
  get conflict(): Conflict | undefined {
    return this.#conflict;
  }
  /** Changed inputs that are not in the file, each once. */
  get edits(): Edit[] {
    return mergeEdits(this.#saving, this.#pending);
  }
  get speed(): number {
    return this.#speed;
  }
  /** Of the file that the shown edits start from. */
  get savedEtag(): string {
    return this.#base?.etag ?? "";
  }
  /** The file itself can be evaluated. */
  get savedSound(): boolean {
    return this.#base?.result !== undefined;
  }
  /** Inputs are changed and not saved. */
  get busy(): boolean {
    return this.#pending.length > 0 || this.#saving.length > 0;
  }
  /** Something here is not in the file. */
  get dirty(): boolean {
    return this.busy || this.text !== undefined;
  }
  /** The text that is being written; undefined: it is as in the file. */
  get text(): string | undefined {
    return this.#writing.text;
  }
  /** The text of the file that it was begun over. */
  get textOver(): string {
    return this.#writing.over?.text ?? this.#shown?.text ?? "";
  }

  field(path: string): Field | undefined {
    return this.fields.find((f) => f.path === path);
  }

  /** The edit of a field that is being tried or not saved yet. */
  edit(path: string): Edit | undefined {
    return this.edits.find((e) => e.path === path);
  }

  /** Problems of a field, or of a part of it. */
  problemsAt(path: string): Problem[] {
    return this.problems.filter(
      (p) => p.path === path || p.path?.startsWith(`${path}[`) || p.path?.startsWith(`${path}.`),
    );
  }

  /** Reads the engine at a speed, 0 for that in the file. Edits that are being tried stay. */
  async load(speed: number): Promise<void> {
    this.#speed = speed;
    const known = lineup.at(this.file, speed)?.view;
    if (known && !this.#shown && known.etag === lineup.entry(this.file)?.etag)
      this.#takeBase(known, speed);
    const number = ++this.#reads;
    try {
      const view = await getEngine(this.file, speed);
      if (number !== this.#reads) return;
      this.#missed = false;
      // A gesture goes on over the file as it was; saving will find out.
      if (this.busy) return this.#ask();
      this.#takeBase(view, speed);
      this.#fault = "";
    } catch (e) {
      if (number !== this.#reads) return;
      if (e instanceof ApiError && e.fault === "missing") this.#missing = true;
      else this.#unanswered(e);
    }
  }

  /** The file on disk has this etag now, or is gone; reads it again unless it is ours. */
  noticed(etag: string | undefined): void {
    if (!this.#base || this.busy || this.#conflict) return;
    if (etag !== this.#base.etag || this.#missing) void this.load(this.#speed);
  }

  /** The same, of what the line-up knows. */
  #look(): void {
    if (lineup.data) this.noticed(lineup.entry(this.file)?.etag);
  }

  /** Shows what edits would do. Later edits of one key replace earlier ones. */
  try(edits: Edit[]): void {
    if (!this.#base) return;
    if (!this.busy) this.#before = this.doc;
    clearTimeout(this.#later);
    this.#pending = mergeEdits(this.#pending, edits);
    this.#refused = false;
    this.#ask();
  }

  /** Asks for the numbers of another speed while it is being chosen. */
  trySpeed(speed: number): void {
    this.#speed = speed;
    this.#show();
  }

  /** Shows what stands: the file, or the file with what is not saved. */
  #show(): void {
    if (!this.#base) return;
    if (!this.busy) this.#before = undefined;
    if (this.busy || this.#baseSpeed !== this.#speed) return this.#ask();
    this.#queue.drop();
    this.#take(this.#base);
  }

  #ask(): void {
    if (!this.#base) return;
    performance.mark("cw:input");
    const { file, text } = this.#base;
    this.#queue.push({
      draft: { file, text, edits: this.edits, speed: this.#speed },
      asked: performance.now(),
    });
  }

  /** What was asked was refused; or nobody answers, and it is asked again. */
  #unanswered(e: unknown): void {
    if (e instanceof ApiError && e.fault === "gone") {
      this.#missed = true;
      this.#wait();
      if (this.#shown) return; // what is shown stays, and the page says that the server is away
    }
    this.#fault = inWords(e);
  }

  #wait(): void {
    clearTimeout(this.#wake);
    this.#wake = setTimeout(() => void this.again(), pause);
  }

  /** Back to the file as it is. */
  cancel(): void {
    clearTimeout(this.#later);
    this.#queue.drop();
    this.#pending = [];
    this.#refused = false;
    this.#show();
    this.#look();
  }

  /** Gives up what is not saved of the inputs. */
  giveUp(): void {
    this.#saving = [];
    this.cancel();
  }

  /** Saves after a rest, so that a row of key presses is one step. */
  commitSoon(ms = 600): void {
    clearTimeout(this.#later);
    this.#later = setTimeout(() => void this.commit(), ms);
  }

  /** Saves what is being tried, and these edits with it. What has problems stays unsaved. */
  commit(edits: Edit[] = []): Promise<void> {
    clearTimeout(this.#later);
    if (edits.length > 0) this.try(edits);
    this.#pending = this.#pending.filter((e) => !this.#same(e));
    if (this.#pending.length === 0) {
      this.cancel();
      return Promise.resolve();
    }
    return this.#send(async () => {
      // What the server says of these edits decides whether they can be saved at all.
      await this.#queue.settled();
      if (this.problems.length > 0 && !this.#missed) return;
      this.#saving = this.edits;
      this.#pending = [];
      await this.#save();
    });
  }

  /** Whether an edit says what the file says already. */
  #same(e: Edit): boolean {
    const f = this.#base?.fields.find((x) => x.path === e.path);
    if (!f || this.#saving.length > 0) return false;
    return e.text === undefined ? !f.given : f.given && f.text.trim() === e.text.trim();
  }

  /** Saves stand in line. */
  async #send(task: () => Promise<void>): Promise<void> {
    this.#sending++;
    try {
      await this.#line.run(task);
    } finally {
      this.#sending--;
    }
  }

  /** Saves all that is to be saved. */
  async #save(): Promise<void> {
    const base = this.#base;
    const edits = this.#saving;
    if (!base || this.#conflict || edits.length === 0) return;
    try {
      const speed = this.#speed;
      const view = await save(this.file, base.etag, { edits }, speed);
      this.#saving = [];
      this.#writing.forget();
      this.#saved(view, speed);
    } catch (e) {
      if (await this.#kept(e, "edits")) return;
      // The server refused: the edits stay in view, so that they can be put right.
      this.#saving = [];
      this.#pending = mergeEdits(edits, this.#pending);
    }
  }

  /** Writes a text in the place of the file's; undefined: as it is there. */
  write(text: string | undefined): void {
    if (!this.#base) return;
    this.#refused = false;
    this.#writing.write(text, { text: this.textOver, etag: this.#base.etag });
  }

  /** Saves the text that is being written, over the state of the file that it started from. */
  saveText(): Promise<void> {
    return this.#send(async () => {
      const { text, over } = this.#writing;
      if (text === undefined || !over || this.#conflict) return;
      try {
        const speed = this.#speed;
        const view = await save(this.file, over.etag, { text, allow_problems: true }, speed);
        this.#writing.startFrom({ text, etag: view.etag });
        this.#saved(view, speed);
      } catch (e) {
        await this.#kept(e, "text");
      }
    });
  }

  #saved(view: EngineView, speed: number): void {
    this.#refused = false;
    this.#fault = "";
    this.#takeBase(view, speed);
    lineup.keep(view, speed);
    if (!this.busy) void lineup.refresh();
  }

  /** A save did not succeed. Whether what was to be saved is kept as that, for another try. */
  async #kept(e: unknown, of: Conflict["of"]): Promise<boolean> {
    if (e instanceof ApiError && e.fault === "gone") {
      if (of === "edits") this.#wait();
      return true;
    }
    if (e instanceof ApiError && e.fault === "conflict") {
      await this.#clash(of);
      return true;
    }
    this.#fault = inWords(e);
    this.#refused = true;
    return false;
  }

  async #clash(of: Conflict["of"]): Promise<void> {
    const base = this.#base;
    if (!base) return;
    try {
      const speed = this.#speed;
      const theirs = await getEngine(this.file, speed);
      const sent = of === "text" ? this.text : await this.#sent(base);
      // Saved before, and the answer was lost on its way.
      if (theirs.text === sent) {
        if (of === "text") this.#writing.startFrom(theirs);
        else this.#saving = [];
        return this.#saved(theirs, speed);
      }
      this.#conflict = { of, theirs, speed };
    } catch (e) {
      if (!(e instanceof ApiError && e.fault === "gone")) this.#fault = inWords(e);
      else if (of === "edits") this.#wait();
    }
  }

  /** The text that what is being saved makes of the file. */
  async #sent({ file, text }: EngineView): Promise<string> {
    const draft = { file, text, edits: this.#saving, speed: this.#speed };
    return (await preview(draft, new AbortController().signal)).text;
  }

  /** Ends a conflict: theirs as it is, or with my edits on top, or my text in its place. */
  async settle(how: "theirs" | "mine"): Promise<void> {
    const c = this.#conflict;
    if (!c) return;
    this.#conflict = undefined;
    this.#refused = false;
    if (c.of === "text") {
      if (how === "theirs") this.write(undefined);
      else this.#writing.startFrom(c.theirs);
      if (!this.busy) this.#takeBase(c.theirs, c.speed);
      if (how === "mine") await this.saveText();
    } else {
      const { edits } = this;
      this.#pending = [];
      this.#saving = [];
      this.#takeBase(c.theirs, c.speed);
      if (how === "mine") await this.commit(edits);
    }
    this.#look();
  }

  /** Asks and saves again what could not be while the server was away. */
  async again(): Promise<void> {
    clearTimeout(this.#wake);
    if (this.#conflict) return;
    if (this.#saving.length > 0) return this.#send(() => this.#save());
    if (!this.#missed) return;
    if (this.#base) this.#ask();
    else await this.load(this.#speed);
  }

  /** Rests while it is not shown. What is not saved stays, and is saved when the server is back. */
  rest(): void {
    if (this.#saving.length === 0) clearTimeout(this.#wake);
  }

  get undoes(): string {
    if (this.#pending.length > 0) return "what is being tried";
    return this.#writing.back ? `what was written in the text of ${this.file}` : "";
  }
  get redoes(): string {
    return this.#writing.forth ? `what was written in the text of ${this.file}` : "";
  }
  undo(): void {
    if (this.#pending.length > 0) this.cancel();
    else this.#writing.undo();
  }
  redo(): void {
    this.#writing.redo();
  }
  settled(): Promise<unknown> {
    return this.#line.run(() => Promise.resolve());
  }

  clearFault(): void {
    this.#fault = "";
  }

  /** Takes the file as it is now. What is being written stays as it is. */
  #takeBase(view: EngineView, speed: number): void {
    this.#reads++;
    this.#base = view;
    this.#baseSpeed = speed;
    this.#missing = false;
    this.#writing.meet(view);
    this.#show();
  }

  #take(view: EngineView, asked?: number): void {
    if (asked !== undefined)
      performance.mark("cw:answer", { detail: { ms: performance.now() - asked } });
    this.#shown = view;
    if (view.result) this.#sound = view;
    if (asked !== undefined) void this.#measure(asked);
  }

  /** The time from an input to its numbers on the page, for the browser tests. */
  async #measure(asked: number): Promise<void> {
    await tick();
    performance.mark("cw:numbers", { detail: { ms: performance.now() - asked } });
    if (performance.getEntriesByName("cw:numbers").length > 500) {
      performance.clearMarks("cw:input");
      performance.clearMarks("cw:answer");
      performance.clearMarks("cw:numbers");
    }
  }
}

/** The session of an engine. */
export const sessionOf = keptByFile((file) => new EngineSession(file), 4);
