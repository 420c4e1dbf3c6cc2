import { nextOf, wrap } from "./angles";

type Listener = (deg: number) => void;

/** What the clock needs from its surroundings, so that it can be tested without a screen. */
export interface Screen {
  request(frame: (ms: number) => void): number;
  cancel(handle: number): void;
}

/** One crank angle for everything on the page. */
export class Clock {
  #angle = $state(0);
  #playing = $state(false);
  #pace = $state(4);
  #handle = 0;
  #last = 0;
  readonly #listeners = new Set<Listener>();
  readonly #screen: Screen;

  constructor(screen: Screen) {
    this.#screen = screen;
  }

  /** Crank angle [deg], 0 up to 720. */
  get angle(): number {
    return this.#angle;
  }

  get playing(): boolean {
    return this.#playing;
  }

  /** Seconds that one turn takes on the screen. */
  get pace(): number {
    return this.#pace;
  }
  set pace(seconds: number) {
    this.#pace = Math.min(60, Math.max(0.25, seconds));
  }

  /** Sets the angle; a running clock goes on from there. */
  seek(deg: number): void {
    this.#angle = wrap(deg);
    for (const f of this.#listeners) f(this.#angle);
  }

  /** Turns by some degrees and stops. */
  step(deg: number): void {
    this.pause();
    this.seek(Math.round((this.#angle + deg) * 1000) / 1000);
  }

  /** Goes to the next of some events, or the one before, and stops. */
  jump(events: number[], direction: 1 | -1): void {
    const to = nextOf(events, this.#angle, direction);
    if (to === undefined) return;
    this.pause();
    this.seek(to);
  }

  play(): void {
    if (this.#playing) return;
    this.#playing = true;
    this.#last = 0;
    this.#handle = this.#screen.request(this.#frame);
  }

  pause(): void {
    if (!this.#playing) return;
    this.#playing = false;
    this.#screen.cancel(this.#handle);
  }

  toggle(): void {
    if (this.#playing) this.pause();
    else this.play();
  }

  /** Calls f at every change of the angle, and once now; returns how to stop. */
  follow(f: Listener): () => void {
    this.#listeners.add(f);
    f(this.#angle);
    return () => this.#listeners.delete(f);
  }

  readonly #frame = (ms: number): void => {
    if (!this.#playing) return;
    // A tab that slept must not jump: no frame counts for more than a tenth of a second.
    const dt = this.#last === 0 ? 0 : Math.min(0.1, (ms - this.#last) / 1000);
    this.#last = ms;
    this.seek(this.#angle + (360 * dt) / this.#pace);
    this.#handle = this.#screen.request(this.#frame);
  };
}

export const clock = new Clock({
  request: (f) => requestAnimationFrame(f),
  cancel: (h) => cancelAnimationFrame(h),
});
