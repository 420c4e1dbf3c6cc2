import { untrack } from "svelte";
import { inWords } from "../../api/client";
import { postJson } from "../calls";
import { LatestQueue } from "../queue";
import type { EngineSession } from "../session.svelte";

interface Job {
  path: string;
  body: unknown;
}

/**
 * A tool of the balancing section: asks the server what it would give for the engine as it stands or is
 * being tried, and for the options chosen. The last answer stays until the next one has come.
 */
export class Tool<Options extends object, Doc> {
  #doc = $state.raw<Doc>();
  #error = $state("");
  #busy = $state(false);
  #path: string;
  #queue: LatestQueue<Job, Doc>;

  constructor(path: string) {
    this.#path = path;
    this.#queue = new LatestQueue<Job, Doc>({
      send: (job, signal) => postJson<Doc>(job.path, job.body, signal),
      apply: (doc) => {
        this.#doc = doc;
        this.#error = "";
        this.#busy = this.#queue.wants;
      },
      fail: (e) => {
        this.#error = inWords(e);
        this.#busy = this.#queue.wants;
      },
    });
  }

  get doc(): Doc | undefined {
    return this.#doc;
  }
  get error(): string {
    return this.#error;
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
    // Not read by what asks, or every answer would ask again.
    untrack(() => (this.#busy = true));
    this.#queue.push({ path: this.#path, body });
  }
}
