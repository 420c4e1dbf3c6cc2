// A queue for live editing: many requests a second come in, only the latest matters, and an answer
// never overtakes a later one.

/** Runs something soon; returns how to call it off. */
export type Scheduler = (run: () => void) => () => void;

/** After what runs now: the browser already gives the movements of a pointer once a frame. */
const soon: Scheduler = (run) => {
  let off = false;
  queueMicrotask(() => {
    if (!off) run();
  });
  return () => (off = true);
};

export interface Handlers<Job, Answer> {
  send: (job: Job, signal: AbortSignal) => Promise<Answer>;
  apply: (answer: Answer, job: Job) => void;
  fail: (error: unknown, job: Job) => void;
}

/**
 * Latest wins: at most one request is on its way, and the newest job that came in meanwhile follows it.
 * Jobs in between are dropped. drop() forgets all that was asked for before.
 */
export class LatestQueue<Job, Answer> {
  #handlers: Handlers<Job, Answer>;
  #schedule: Scheduler;
  #wanted: { job: Job } | null = null;
  #running: AbortController | null = null;
  #unschedule: (() => void) | null = null;
  #idle: (() => void)[] = [];

  constructor(handlers: Handlers<Job, Answer>, schedule: Scheduler = soon) {
    this.#handlers = handlers;
    this.#schedule = schedule;
  }

  /** Whether something is wanted or on its way. */
  get busy(): boolean {
    return this.#wanted !== null || this.#running !== null;
  }

  /** Whether something waits behind what is on its way. */
  get wants(): boolean {
    return this.#wanted !== null;
  }

  push(job: Job): void {
    this.#wanted = { job };
    this.#plan();
  }

  /** Forgets what is wanted and ignores what is on its way. */
  drop(): void {
    this.#unschedule?.();
    this.#unschedule = null;
    this.#wanted = null;
    this.#running?.abort();
    this.#running = null;
    this.#rest();
  }

  /** Resolves when nothing is wanted or on its way. */
  settled(): Promise<void> {
    if (!this.busy) return Promise.resolve();
    return new Promise((resolve) => this.#idle.push(resolve));
  }

  #plan(): void {
    if (this.#running || this.#unschedule || !this.#wanted) return;
    this.#unschedule = this.#schedule(() => {
      this.#unschedule = null;
      void this.#run();
    });
  }

  async #run(): Promise<void> {
    if (!this.#wanted || this.#running) return;
    const { job } = this.#wanted;
    this.#wanted = null;
    const control = new AbortController();
    this.#running = control;
    try {
      const answer = await this.#handlers.send(job, control.signal);
      if (!control.signal.aborted) this.#handlers.apply(answer, job);
    } catch (error) {
      if (!control.signal.aborted) this.#handlers.fail(error, job);
    } finally {
      if (this.#running === control) {
        this.#running = null;
        // What waited goes at once: it has waited for longer than a frame.
        if (this.#wanted && !this.#unschedule) void this.#run();
        this.#rest();
      }
    }
  }

  #rest(): void {
    if (this.busy) return;
    const waiting = this.#idle;
    this.#idle = [];
    for (const resolve of waiting) resolve();
  }
}

/** Runs tasks one after another, so that each save knows the etag that the one before it left. */
export class Line {
  #last: Promise<unknown> = Promise.resolve();

  run<T>(task: () => Promise<T>): Promise<T> {
    const next = this.#last.then(task, task);
    this.#last = next.catch(() => undefined);
    return next;
  }
}

/** One edit a key: a later one replaces an earlier one and stands last. */
export function mergeEdits<E extends { path: string }>(earlier: E[], later: E[]): E[] {
  const paths = new Set(later.map((e) => e.path));
  return [...earlier.filter((e) => !paths.has(e.path)), ...later];
}
