import { tick } from "svelte";
import { getEngine } from "../api/calls";
import { ApiError, inWords } from "../api/client";
import type { Edit, EngineDocument, EngineView, Field, Geometry, Problem } from "../api/types";
import { lineup } from "../state/lineup.svelte";
import { preview, save, type Draft } from "./calls";
import { LatestQueue, Line, mergeEdits } from "./queue";

/** How the page stands with the file. */
export type Standing = "loading" | "saved" | "trying" | "saving" | "unsaved" | "missing";

/** A save that met a file which somebody else had changed. */
export interface Conflict {
  edits: Edit[];
  mine: string;
  theirs: EngineView;
}

interface Job {
  draft: Draft;
  asked: number;
}

/**
 * One engine being worked on. What is shown is the file with the edits of the gesture that is going on;
 * try() shows edits without saving, commit() saves them as one step that undo takes back, cancel()
 * returns to the file.
 */
export class EngineSession {
  readonly file: string;
  #base = $state.raw<EngineView>();
  #shown = $state.raw<EngineView>();
  #sound = $state.raw<EngineView>();
  #before = $state.raw<EngineDocument>();
  #pending = $state.raw<Edit[]>([]);
  #saving = $state.raw<Edit[]>([]);
  #standing = $state<Standing>("loading");
  #fault = $state("");
  #conflict = $state.raw<Conflict>();
  #speed = $state(0);
  /** The speed at which the file itself was read. */
  #baseSpeed = 0;
  #later: ReturnType<typeof setTimeout> | undefined;
  readonly #line = new Line();
  readonly #queue: LatestQueue<Job, EngineView>;

  constructor(file: string) {
    this.file = file;
    this.#queue = new LatestQueue<Job, EngineView>({
      send: (job, signal) => preview(job.draft, signal),
      apply: (view, job) => this.#take(view, job.asked),
      fail: (e) => (this.#fault = inWords(e)),
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
    return this.#standing;
  }
  get fault(): string {
    return this.#fault;
  }
  get conflict(): Conflict | undefined {
    return this.#conflict;
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
  get busy(): boolean {
    return this.#pending.length > 0 || this.#saving.length > 0;
  }

  field(path: string): Field | undefined {
    return this.fields.find((f) => f.path === path);
  }

  /** The edit of a field that is being tried or not saved yet. */
  edit(path: string): Edit | undefined {
    return mergeEdits(this.#saving, this.#pending).find((e) => e.path === path);
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
      this.#takeBase(known);
    try {
      const view = await getEngine(this.file, speed);
      if (speed !== this.#speed) return;
      if (this.busy) {
        // A gesture goes on over the file as it was; saving will find out.
        this.#ask();
        return;
      }
      this.#takeBase(view);
      this.#fault = "";
    } catch (e) {
      if (e instanceof ApiError && e.fault === "missing") this.#standing = "missing";
      else if (!this.#shown) this.#fault = inWords(e);
      else if (!(e instanceof ApiError && e.fault === "gone")) this.#fault = inWords(e);
    }
  }

  /** The file on disk has this etag now, or is gone; reads it again unless it is ours. */
  noticed(etag: string | undefined): void {
    if (!this.#base || this.busy || this.#conflict) return;
    if (etag !== this.#base.etag || this.#standing === "missing") void this.load(this.#speed);
  }

  /** Shows what edits would do. Later edits of one key replace earlier ones. */
  try(edits: Edit[]): void {
    if (!this.#base) return;
    if (this.#pending.length === 0 && this.#saving.length === 0) this.#before = this.doc;
    clearTimeout(this.#later);
    this.#pending = mergeEdits(this.#pending, edits);
    this.#standing = "trying";
    this.#ask();
  }

  /** Asks for the numbers of another speed while it is being chosen. */
  trySpeed(speed: number): void {
    this.#speed = speed;
    this.#ask();
  }

  #ask(): void {
    if (!this.#base) return;
    performance.mark("cw:input");
    const { file, text } = this.#base;
    const edits = mergeEdits(this.#saving, this.#pending);
    this.#queue.push({
      draft: { file, text, edits, speed: this.#speed },
      asked: performance.now(),
    });
  }

  /** Back to the file as it is. */
  cancel(): void {
    clearTimeout(this.#later);
    this.#queue.drop();
    this.#pending = [];
    if (this.#saving.length > 0) return this.#ask();
    this.#before = undefined;
    this.#standing = "saved";
    if (!this.#base) return;
    if (this.#baseSpeed === this.#speed) this.#take(this.#base);
    else this.#ask();
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
    this.#standing = "saving";
    return this.#line.run(async () => {
      // What the server says of these edits decides whether they can be saved at all.
      await this.#queue.settled();
      const all = this.#pending;
      if (all.length === 0) return;
      if (this.problems.length > 0) {
        this.#standing = "trying";
        return;
      }
      this.#pending = [];
      this.#saving = mergeEdits(this.#saving, all);
      this.#standing = "saving";
      await this.#save(all);
    });
  }

  /** Whether an edit says what the file says already. */
  #same(e: Edit): boolean {
    const f = this.#base?.fields.find((x) => x.path === e.path);
    if (!f || this.#saving.length > 0) return false;
    return e.text === undefined ? !f.given : f.given && f.text.trim() === e.text.trim();
  }

  async #save(edits: Edit[]): Promise<void> {
    const base = this.#base;
    if (!base || this.#conflict) return;
    try {
      const speed = this.#speed;
      this.#saved(await save(this.file, base.etag, { edits }, speed), edits, speed);
    } catch (e) {
      await this.#failed(e, edits);
    }
  }

  /** Saves a whole text. */
  saveText(text: string): Promise<void> {
    return this.#line.run(async () => {
      if (!this.#base) return;
      this.#standing = "saving";
      try {
        const speed = this.#speed;
        const what = { text, allow_problems: true };
        this.#saved(await save(this.file, this.#base.etag, what, speed), [], speed);
      } catch (e) {
        this.#standing = "unsaved";
        if (e instanceof ApiError && e.fault === "conflict") await this.#clash([], text);
        else this.#fault = inWords(e);
      }
    });
  }

  #saved(view: EngineView, edits: Edit[], speed: number): void {
    this.#saving = this.#saving.filter((s) => !edits.includes(s));
    this.#base = view;
    this.#baseSpeed = speed;
    this.#fault = "";
    lineup.keep(view, speed);
    if (this.busy) return this.#ask();
    this.#queue.drop();
    this.#before = undefined;
    this.#standing = "saved";
    if (speed === this.#speed) this.#take(view);
    else this.#ask();
    void lineup.refresh();
  }

  async #failed(e: unknown, edits: Edit[]): Promise<void> {
    this.#standing = "unsaved";
    if (e instanceof ApiError && e.fault === "conflict") return this.#clash(edits, "");
    this.#fault = inWords(e);
    if (e instanceof ApiError && e.fault === "gone") return; // kept, and saved when it is back
    // The server refused: the edits stay in view, so that they can be put right.
    this.#saving = this.#saving.filter((s) => !edits.includes(s));
    this.#pending = mergeEdits(edits, this.#pending);
  }

  async #clash(edits: Edit[], text: string): Promise<void> {
    try {
      const mine = text || this.#shown?.text || "";
      const speed = this.#speed;
      const theirs = await getEngine(this.file, speed);
      // Saved before, and the answer was lost on its way.
      if (theirs.text === mine) return this.#saved(theirs, edits, speed);
      this.#conflict = { edits: mergeEdits(edits, this.#pending), mine, theirs };
    } catch (e) {
      this.#fault = inWords(e);
    }
  }

  /** Ends a conflict: theirs as it is, or with my edits on top, or my text in its place. */
  async settle(how: "theirs" | "mine"): Promise<void> {
    const c = this.#conflict;
    if (!c) return;
    this.#conflict = undefined;
    this.#pending = [];
    this.#saving = [];
    this.#takeBase(c.theirs);
    if (how === "theirs") return;
    if (c.edits.length > 0) await this.commit(c.edits);
    else await this.saveText(c.mine);
  }

  /** Saves what could not be saved while the server was away. */
  async again(): Promise<void> {
    const edits = this.#saving;
    if (this.#standing !== "unsaved" || this.#conflict || edits.length === 0) return;
    this.#standing = "saving";
    await this.#line.run(() => this.#save(edits));
  }

  /** Drops what is being tried; with nothing to drop, the folder's last change is taken back. */
  async undo(): Promise<void> {
    if (this.#pending.length > 0) return this.cancel();
    try {
      this.#fault = await lineup.undo();
    } catch (e) {
      this.#fault = inWords(e);
    }
  }

  clearFault(): void {
    this.#fault = "";
  }

  #takeBase(view: EngineView): void {
    this.#base = view;
    this.#baseSpeed = this.#speed;
    this.#before = undefined;
    this.#standing = "saved";
    this.#take(view);
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
