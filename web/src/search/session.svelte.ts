import { ApiError, inWords } from "../api/client";
import type {
  Problem,
  StudyCheck,
  StudyEvolve,
  StudyPlan,
  StudyRun,
  StudyView,
} from "../api/types";
import { LatestQueue, Line } from "../engine/queue";
import { keptByFile } from "../state/kept";
import { lineup } from "../state/lineup.svelte";
import { Steps } from "../state/steps.svelte";
import type { Undoable } from "../state/undoing.svelte";
import { checkStudy, forgetRun, getRun, getStudy, saveStudy, startRun, stopRun } from "./calls";
import { proposed, type How, type Numbers } from "./how";

/** Milliseconds after the last key before a text is checked, and between looks at a run. */
const pause = 250;
const pace = 500;
/** So many points of the front are shown. */
const mostFront = 400;

/** A text that is not saved, and the state of the file that it is written over. */
interface Tried {
  base: StudyView | undefined;
  text: string | undefined;
}

/**
 * A study being written and run. A text is tried without saving, and taken back step by step; of many checks in a row
 * the last one counts. While a run goes on, it is looked at twice a second.
 */
export class StudySession implements Undoable {
  readonly file: string;
  #base = $state.raw<StudyView>();
  #text = $state<string>();
  #check = $state.raw<StudyCheck>();
  #plan = $state.raw<StudyPlan>();
  #checking = $state(false);
  #run = $state.raw<StudyRun>();
  #fault = $state("");
  #runFault = $state("");
  #saving = $state(false);
  #asking = $state(false);
  #clash = $state(false);
  /** Of the file on disk, as far as it is known here; what is written may have begun over an older one. */
  #now = "";
  #how = $state<How>();
  #numbers = $state.raw<Partial<Numbers>>({});
  #later: ReturnType<typeof setTimeout> | undefined;
  #poll: ReturnType<typeof setTimeout> | undefined;
  #resting = true;
  /** Ends what is being asked about the study when it rests. */
  #leave = new AbortController();
  /** Looks at a run that were asked for: an answer to an earlier one is not shown after a later one. */
  #looks = 0;
  readonly #steps = new Steps<Tried>();
  readonly #line = new Line();
  readonly #queue: LatestQueue<string, StudyCheck>;

  constructor(file: string) {
    this.file = file;
    this.#queue = new LatestQueue<string, StudyCheck>({
      send: (text, signal) => checkStudy(this.file, text, signal),
      apply: (check) => {
        this.#check = check;
        if (check.plan) this.#plan = check.plan;
        this.#fault = "";
        this.#checking = this.#queue.wants;
      },
      fail: (e) => {
        this.#fault = inWords(e);
        this.#checking = this.#queue.wants;
        if (e instanceof ApiError && e.fault === "gone" && !this.#resting)
          this.#later = setTimeout(() => this.recheck(), 2000);
      },
    });
  }

  /** The file on disk, as far as it is known here. */
  get base(): StudyView | undefined {
    return this.#base;
  }
  /** A text that is being tried in place of the file's. */
  get text(): string | undefined {
    return this.#text;
  }
  /** The text as it would stand. */
  get draft(): string {
    return this.#text ?? this.#base?.text ?? "";
  }
  get dirty(): boolean {
    return this.#text !== undefined;
  }
  /** What the text says; the last one that could be read. */
  get plan(): StudyPlan | undefined {
    return this.#plan;
  }
  get problems(): Problem[] {
    return this.#check?.problems ?? [];
  }
  get checking(): boolean {
    return this.#checking;
  }
  get run(): StudyRun | undefined {
    return this.#run;
  }
  get running(): boolean {
    return this.#run?.state === "running";
  }
  /** What of the check or the file did not work. */
  get fault(): string {
    return this.#fault;
  }
  /** What of the run did not work. */
  get runFault(): string {
    return this.#runFault || (this.#run?.failure ?? "");
  }
  get saving(): boolean {
    return this.#saving;
  }
  /** A run is being started, stopped or set aside. */
  get asking(): boolean {
    return this.#asking;
  }
  /** How the study is to be searched: as the reader chose, else as its results were found. */
  get how(): How {
    return this.#how ?? (this.#run?.evolution ? "part" : "every");
  }
  set how(how: How) {
    this.#how = how;
  }
  /** The numbers of an evolutionary search: as the reader wrote them, else as is sensible. */
  get numbers(): Numbers {
    return { ...proposed(this.#plan?.size.candidates_1, this.#run), ...this.#numbers };
  }
  write(numbers: Partial<Numbers>): void {
    this.#numbers = { ...this.#numbers, ...numbers };
  }
  /** Somebody else changed the file while something here is not saved. */
  get clash(): boolean {
    return this.#clash;
  }

  /** Goes on where it was left, or begins. */
  begin(): void {
    this.#resting = false;
    this.#leave = new AbortController();
    if (!this.#base) void this.load();
    else this.recheck();
    void this.look();
  }

  /** Rests until begin(); what is not saved stays, and a run goes on without being looked at. */
  rest(): void {
    this.#resting = true;
    clearTimeout(this.#later);
    clearTimeout(this.#poll);
    this.#queue.drop();
    this.#leave.abort(); // the study may be about to go
  }

  async load(): Promise<void> {
    const { signal } = this.#leave;
    try {
      this.#base = await getStudy(this.file, signal);
      this.#now = this.#base.etag;
      this.#fault = "";
      if (this.#text === this.#base.text) this.#text = undefined;
      this.recheck();
    } catch (e) {
      if (!signal.aborted) this.#fault = inWords(e);
    }
  }

  /** The file on disk has this etag now; another file may have changed what the study says. */
  noticed(etag: string | undefined): void {
    if (this.#resting || !this.#base || this.#saving || etag === undefined) return;
    if (etag === this.#base.etag) this.recheck();
    else if (this.dirty) {
      this.#now = etag;
      this.#clash = true;
    } else {
      this.#steps.clear();
      void this.load();
    }
    void this.look();
  }

  /** Tries a text. */
  type(text: string | undefined): void {
    const to = text === this.#base?.text ? undefined : text;
    if (to === this.#text) return;
    this.#steps.note(this.#tried(), to === undefined ? "" : "text");
    this.#text = to;
    this.#checkSoon();
  }

  #checkSoon(): void {
    clearTimeout(this.#later);
    this.#checking = true;
    this.#later = setTimeout(() => this.recheck(), pause);
  }

  recheck(): void {
    clearTimeout(this.#later);
    if (!this.#base) return;
    this.#checking = true;
    this.#queue.push(this.draft);
  }

  get undoes(): string {
    return this.#steps.back ? "the last change of the study, which is not saved" : "";
  }
  get redoes(): string {
    return this.#steps.forth ? "the change of the study that was taken back" : "";
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
    return { base: this.#base, text: this.#text };
  }

  #put({ base, text }: Tried): void {
    this.#text = text;
    // What was written over another state of the file meets the one that is there now.
    if (this.dirty) this.#base = base;
    const old = this.#base?.etag !== this.#now;
    this.#clash = this.dirty && old;
    if (old && !this.dirty) void this.load();
    else this.#checkSoon();
  }

  /** Writes the text into the file; false: it is not there. */
  save(): Promise<boolean> {
    return this.#line.run(async () => {
      const base = this.#base;
      const text = this.#text;
      if (!base || text === undefined) return true;
      this.#saving = true;
      try {
        this.#base = await saveStudy(this.file, base.etag, text);
        this.#now = this.#base.etag;
        // What was typed while it was being saved stays.
        if (this.#text === text) this.#text = undefined;
        this.#steps.clear();
        this.#fault = "";
        void lineup.refresh();
        return true;
      } catch (e) {
        if (e instanceof ApiError && e.fault === "conflict") this.#clash = true;
        else this.#fault = inWords(e);
        return false;
      } finally {
        this.#saving = false;
      }
    });
  }

  /** Ends a clash: the file as it is now, or my text over it. */
  async settle(how: "theirs" | "mine"): Promise<void> {
    this.#clash = false;
    this.#steps.note(this.#tried());
    if (how === "theirs") this.#text = undefined;
    await this.load();
  }

  /** Runs the study as it stands, or goes on with it; by evolution where that is asked for. */
  async start(evolution: StudyEvolve | undefined): Promise<void> {
    this.#how = evolution ? "part" : "every";
    if (!(await this.save())) return;
    await this.#ask(() => startRun(this.file, evolution));
    if (!this.#runFault) this.#numbers = {};
  }

  stop(): Promise<void> {
    return this.#ask(() => stopRun(this.file));
  }

  /** Sets the results aside. */
  forget(): Promise<void> {
    return this.#ask(() => forgetRun(this.file));
  }

  async #ask(call: () => Promise<StudyRun>): Promise<void> {
    this.#asking = true;
    try {
      this.#take(await call(), ++this.#looks);
    } catch (e) {
      this.#runFault = inWords(e);
    }
    this.#asking = false;
  }

  /** Looks how the run stands, and again while it goes on. */
  async look(): Promise<void> {
    clearTimeout(this.#poll);
    const number = ++this.#looks;
    const { signal } = this.#leave;
    try {
      this.#take(await getRun(this.file, mostFront, signal), number);
    } catch (e) {
      if (number !== this.#looks || signal.aborted) return;
      this.#runFault = inWords(e);
      if (!this.#resting && e instanceof ApiError && e.fault === "gone")
        this.#poll = setTimeout(() => void this.look(), 2000);
    }
  }

  #take(run: StudyRun, number: number): void {
    if (number !== this.#looks) return;
    this.#run = run;
    this.#runFault = "";
    clearTimeout(this.#poll);
    if (run.state === "running" && !this.#resting)
      this.#poll = setTimeout(() => void this.look(), pace);
  }
}

/** The session of a study. */
export const sessionOf = keptByFile((file) => new StudySession(file));
