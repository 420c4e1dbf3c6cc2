import { tick, untrack } from "svelte";
import { ApiError, inWords } from "../../api/client";
import type { Edit } from "../../api/types";
import { postJson } from "../calls";
import { LatestQueue } from "../queue";
import type { EngineSession } from "../session.svelte";

interface Job {
  path: string;
  body: unknown;
}

/** What a tool refused, with the places in the request that are wrong. */
function refusal(e: unknown): string {
  if (!(e instanceof ApiError) || e.places.length === 0) return inWords(e);
  const places = e.places.map((p) => {
    const where = p.location.replace(/^body\.?/, "");
    return where && !p.message.includes(where) ? `${where}: ${p.message}` : p.message;
  });
  return places.join("; ");
}

/**
 * A tool of the balancing section: asks the server what it would give for the engine as it stands or is
 * being tried, and for the options chosen. The last answer stays until the next one has come. What could not
 * be asked while the server was away is asked again until it is back.
 */
export class Tool<Options extends object, Doc> {
  #doc = $state.raw<Doc>();
  #error = $state("");
  #away = $state(false);
  #busy = $state(false);
  #last: object | undefined;
  #later: ReturnType<typeof setTimeout> | undefined;
  #path: string;
  #queue: LatestQueue<Job, Doc>;

  /** Built where a component is set up: it ends with it. */
  constructor(path: string) {
    this.#path = path;
    this.#queue = new LatestQueue<Job, Doc>({
      send: (job, signal) => postJson<Doc>(job.path, job.body, signal),
      apply: (doc) => {
        this.#doc = doc;
        this.#error = "";
        this.#away = false;
        this.#busy = this.#queue.wants;
      },
      fail: (e) => {
        this.#error = refusal(e);
        this.#away = e instanceof ApiError && e.fault === "gone";
        this.#busy = this.#queue.wants;
        clearTimeout(this.#later);
        if (this.#away) this.#later = setTimeout(() => this.again(), 2000);
      },
    });
    $effect(() => () => clearTimeout(this.#later));
  }

  get doc(): Doc | undefined {
    return this.#doc;
  }
  get error(): string {
    return this.#error;
  }
  /** The server did not answer; nothing is wrong with what was asked. */
  get away(): boolean {
    return this.#away;
  }
  get busy(): boolean {
    return this.#busy;
  }

  /** Asks about the engine with these options; of many in a row the last one counts. */
  ask(session: EngineSession, text: string, options: Options): void {
    this.askPlain({ file: session.file, text, speed_rpm: session.speed, ...options });
  }

  /** Asks about what no engine is needed for. */
  askPlain(body: object): void {
    clearTimeout(this.#later);
    this.#last = body;
    // Not read by what asks, or every answer would ask again.
    untrack(() => (this.#busy = true));
    this.#queue.push({ path: this.#path, body });
  }

  /** Asks the last question once more. */
  again(): void {
    if (this.#last) this.askPlain(this.#last);
  }

  /** The answer to what stands in the fields now; undefined where there is none. */
  async settled(): Promise<Doc | undefined> {
    await tick(); // what was just typed is asked first
    await this.#queue.settled();
    return this.#error ? undefined : this.#doc;
  }
}

/** Whether a file says already what edits would make it say. */
export function inFile(session: EngineSession, edits: readonly Edit[]): boolean {
  return edits.every((e) => {
    const f = session.field(e.path);
    return f?.given === true && f.text.trim() === e.text?.trim();
  });
}
