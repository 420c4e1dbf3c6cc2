import { SvelteMap } from "svelte/reactivity";
import { getEngine, getLineup, redo, undo } from "../api/calls";
import { ApiError, inWords } from "../api/client";
import { readEvents } from "../api/events";
import type { EngineEntry, EngineView, FolderEvent, LineUp } from "../api/types";
import { sleep, wait } from "./backoff";
import { onHidden, seen } from "./hidden";

/** How the workbench stands with its server. */
export type Standing = "asking" | "live" | "gone" | "denied";

/** One engine as far as it is known. */
export interface Loaded {
  view?: EngineView;
  /** Why there is no newer view. */
  error?: string;
  loading: boolean;
}

/** Between a request for an engine that failed and the next one [ms]. */
const pause = 1000;

/** After how long a page that is hidden lets go of its connection [ms]. */
const unseen = 5000;

/** The folder's engines and what is known of them. */
class Store {
  #data = $state.raw<LineUp>();
  #standing = $state<Standing>("asking");
  #error = $state("");
  #tries = 0;
  #returns = $state(0);
  /** The newest revision of which an event told. */
  #told = 0;
  #outside = $state.raw<string[]>([]);
  readonly #views = new SvelteMap<string, Loaded>();
  /** The newest view of each file at any speed: shown until the wanted one has come. */
  readonly #newest = new SvelteMap<string, EngineView>();
  readonly #busy = new Set<string>();
  readonly #next = new Map<string, number>();

  /** The folder as it stands; undefined until the first answer. */
  get data(): LineUp | undefined {
    return this.#data;
  }

  get standing(): Standing {
    return this.#standing;
  }

  /** How often the server came back: what it did not answer is to be asked again. */
  get returns(): number {
    return this.#returns;
  }

  /** Why the line-up could not be read, in words. */
  get error(): string {
    return this.#error;
  }

  /** Engines that can be evaluated. */
  get sound(): EngineEntry[] {
    return this.#data?.engines.filter((e) => e.problems === 0) ?? [];
  }

  entry(file: string): EngineEntry | undefined {
    return this.#data?.engines.find((e) => e.file === file);
  }

  /** Files that somebody else changed and of which the reader has not been told. */
  get outside(): string[] {
    return this.#outside;
  }

  /** The reader knows. */
  seen(): void {
    this.#outside = [];
  }

  /** What is known of an engine at a speed [rpm]; 0: the speed in its file. */
  at(file: string, speed: number): Loaded | undefined {
    return this.#views.get(key(file, speed));
  }

  /** The view of an engine at a speed, or the newest one at another speed until that has come. */
  best(file: string, speed: number): EngineView | undefined {
    return this.#views.get(key(file, speed))?.view ?? this.#newest.get(file);
  }

  /** Reads the line-up again. */
  async refresh(): Promise<void> {
    try {
      this.take(await getLineup());
      if (this.#standing === "gone") this.#returns++;
      this.#standing = "live";
      this.#error = "";
    } catch (e) {
      this.#fail(e);
    }
  }

  /** Takes a line-up that the server sent. */
  take(data: LineUp): void {
    this.#data = data;
    if (data.revision < this.#told) {
      this.#told = data.revision;
      void this.refresh();
    }
  }

  /** Takes the last change back. Returns which files stay as they are, and why; empty: none. */
  async undo(): Promise<string> {
    const now = await undo();
    this.take(now);
    return now.left ?? "";
  }

  /** Does again what was undone. Returns the same as undo. */
  async redo(): Promise<string> {
    const now = await redo();
    this.take(now);
    return now.left ?? "";
  }

  /**
   * Sees to it that the view of an engine at a speed is there and of the file as it stands. While one
   * request for a file runs, only the last of the next ones counts.
   */
  async want(file: string, speed: number): Promise<void> {
    const k = key(file, speed);
    const known = this.#views.get(k);
    const etag = this.entry(file)?.etag;
    if (known?.view && (!etag || known.view.etag === etag)) return;
    if (this.#busy.has(file)) {
      this.#next.set(file, speed);
      return;
    }
    this.#busy.add(file);
    this.#views.set(k, { ...known, loading: true });
    try {
      // The line-up shows no explanations; the engine's own page asks for them.
      const view = await getEngine(file, speed, false);
      this.#views.set(k, { view, loading: false });
      this.#newest.set(file, view);
      this.#trim();
      // The file changed meanwhile, and the line-up does not know yet: it will say so itself.
    } catch (e) {
      this.#views.set(k, { ...known, loading: false, error: inWords(e) });
      if (e instanceof ApiError && e.fault === "gone") this.#fail(e);
      // Who shows the engine reads the failure and asks again, which must not go round without a pause.
      await new Promise((done) => setTimeout(done, pause));
    }
    this.#busy.delete(file);
    const next = this.#next.get(file);
    this.#next.delete(file);
    if (next !== undefined) await this.want(file, next);
  }

  /** Keeps a view that came with the answer to an edit. */
  keep(view: EngineView, speed: number): void {
    if (!view.saved) return;
    this.#views.set(key(view.file, speed), { view, loading: false });
    this.#newest.set(view.file, view);
  }

  /** Old views go: a slider makes many. */
  #trim(): void {
    const most = 60;
    for (const k of [...this.#views.keys()].slice(0, Math.max(0, this.#views.size - most)))
      this.#views.delete(k);
  }

  #happened(data: string): void {
    let event: FolderEvent;
    try {
      event = JSON.parse(data) as FolderEvent;
    } catch {
      return;
    }
    this.#told = event.revision;
    // The first answer is on its way; take() sees whether it is new enough.
    if (event.kind === "hello" && (!this.#data || event.revision === this.#data.revision)) return;
    if (event.kind === "outside" && event.files.length > 0)
      this.#outside = [...new Set([...this.#outside, ...event.files])];
    void this.refresh();
  }

  #fail(e: unknown): void {
    if (e instanceof ApiError && e.fault === "gone") this.#standing = "gone";
    else if (e instanceof ApiError && e.fault === "denied") this.#standing = "denied";
    else if (this.#standing === "asking") this.#standing = "live";
    this.#error = inWords(e);
  }

  /**
   * Reads the line-up and then follows the folder until the signal says stop. A page that nobody sees lets go of its
   * connection, of which a browser has six for all its pages together, and looks what is new when it is seen again.
   */
  async follow(signal: AbortSignal): Promise<void> {
    void this.refresh();
    while (!signal.aborted) {
      await seen(signal);
      const rest = new AbortController();
      const watched = onHidden(unseen, () => rest.abort());
      try {
        await readEvents(
          "/api/events",
          AbortSignal.any([signal, rest.signal]),
          () => {
            this.#tries = 0;
            if (this.#standing === "gone" || this.#standing === "denied") void this.refresh();
          },
          (e) => this.#happened(e.data),
        );
        if (!signal.aborted && !rest.signal.aborted) this.#standing = "gone";
      } catch (e) {
        if (signal.aborted) return;
        if (!rest.signal.aborted) this.#fail(e);
      } finally {
        watched();
      }
      if (rest.signal.aborted) continue;
      this.#tries++;
      await sleep(wait(this.#tries), signal);
    }
  }
}

function key(file: string, speed: number): string {
  return `${file} ${speed}`;
}

export const lineup = new Store();
