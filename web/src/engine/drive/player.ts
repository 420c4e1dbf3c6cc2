import { LatestQueue } from "../queue";

// Plays engines, one at a time on the whole page. A loop of the server is repeated without a seam. When speed or
// load changes, the loop that plays is sped up or slowed down at once, and the true loop replaces it when it has
// come. No compressor works on the sound: it would hide how engines and loads differ.

/** The largest value that may leave the player at full volume, of full scale. */
export const mostOfScale = 0.5;
/** Samples a second of the server's loops: the same in the browser, so that nothing is resampled at the seam. */
export const sampleRate = 48000;
/** From one loop to the next, and up from silence or down to it [s]. */
export const crossFade = 0.06;
export const fade = 0.04;
/** A loop is not played slower or faster than by these. */
export const slowest = 0.7;
export const fastest = 1.4;
/** What is dragged asks for a loop at most this often [ms]. */
const rest = 150;

/** What is to be heard. */
export interface Wanted {
  /** The request, less the speed. */
  body: Record<string, unknown>;
  /** Crank speed [rpm]. */
  speed: number;
}

/** Whole cycles of a sound as a file. */
export interface Loop {
  bytes: ArrayBuffer;
  /** Crank speed of the loop [rpm], next to the one asked for. */
  speed: number;
}

/** What the player needs of the browser's audio, and no more. */
export type Audio = Pick<
  AudioContext,
  | "currentTime"
  | "destination"
  | "createGain"
  | "createBufferSource"
  | "decodeAudioData"
  | "resume"
  | "suspend"
>;

export interface Means {
  /** Opens the browser's audio; called at the first playback. */
  audio: () => Audio;
  loop: (wanted: Wanted, signal: AbortSignal) => Promise<Loop>;
  /** Says in words what went wrong. */
  words: (e: unknown) => string;
  /** Something that can be read here has changed. */
  changed: () => void;
}

interface Job {
  owner: string;
  wanted: Wanted;
}
interface Voice {
  source: AudioBufferSourceNode;
  gain: GainNode;
  /** Crank speed of its loop [rpm]. */
  speed: number;
  rate: number;
}

/** A rate within what sounds like the engine still. */
function rateFor(speed: number, loop: number): number {
  return Math.min(fastest, Math.max(slowest, speed / loop));
}

/** The largest magnitude in a sound. */
function peakOf(buffer: AudioBuffer): number {
  let most = 0;
  for (let c = 0; c < buffer.numberOfChannels; c++)
    for (const v of buffer.getChannelData(c)) most = Math.max(most, Math.abs(v));
  return most;
}

export class Player {
  readonly #means: Means;
  readonly #queue: LatestQueue<Job, { buffer: AudioBuffer; speed: number }>;
  #audio: Audio | undefined;
  #master: GainNode | undefined;
  #voice: Voice | undefined;
  #owner = "";
  #wanted: Wanted | undefined;
  #volume = 0.3;
  #fault = { owner: "", words: "" };
  #heard = false;
  /** Revolutions of the crank since the start, and when they were counted: a new loop goes on at this angle. */
  #turns = 0;
  #counted = 0;
  #sleep: ReturnType<typeof setTimeout> | undefined;

  constructor(means: Means) {
    this.#means = means;
    this.#queue = new LatestQueue<Job, { buffer: AudioBuffer; speed: number }>(
      {
        send: (job, signal) => this.#fetch(job, signal),
        apply: (loop) => this.#take(loop.buffer, loop.speed),
        fail: (e, job) => {
          // What was asked meanwhile may go well.
          if (!this.#queue.wants) this.#failed(e, job.owner);
        },
      },
      (run) => {
        const timer = setTimeout(run, this.#voice ? rest : 0);
        return () => clearTimeout(timer);
      },
    );
  }

  /** Who is heard, or will be as soon as the loop has come; empty: nobody. */
  get owner(): string {
    return this.#owner;
  }
  standing(owner: string): "silent" | "starting" | "playing" {
    if (owner !== this.#owner) return "silent";
    return this.#voice ? "playing" : "starting";
  }
  /** What went wrong when this owner wanted to be heard. */
  fault(owner: string): string {
    return owner === this.#fault.owner ? this.#fault.words : "";
  }
  /** Something was played since the page was opened. */
  get heard(): boolean {
    return this.#heard;
  }
  /** From 0 to 1. */
  get volume(): number {
    return this.#volume;
  }
  set volume(v: number) {
    this.#volume = Math.min(1, Math.max(0, Number.isFinite(v) ? v : 0));
    this.#master?.gain.setTargetAtTime(this.#volume, this.#audio?.currentTime ?? 0, 0.02);
    this.#means.changed();
  }

  /** Plays for an owner; whoever played before falls silent. */
  play(owner: string, wanted: Wanted): void {
    this.#silence();
    this.#owner = owner;
    this.#wanted = wanted;
    this.#fault = { owner: "", words: "" };
    try {
      this.#open();
    } catch {
      return this.#failed(new Error("This browser plays no sound."), owner);
    }
    this.#turns = 0;
    this.#queue.push({ owner, wanted });
    this.#means.changed();
  }

  /** The owner wants to be heard differently; nothing happens while another one or nobody plays. */
  change(owner: string, wanted: Wanted): void {
    if (owner !== this.#owner || !this.#wanted) return;
    if (JSON.stringify(wanted) === JSON.stringify(this.#wanted)) return;
    this.#wanted = wanted;
    this.#tune();
    this.#queue.push({ owner, wanted });
  }

  /** Falls silent, if it is this owner that plays. */
  stop(owner = this.#owner): void {
    if (owner !== this.#owner || owner === "") return;
    this.#silence();
    this.#means.changed();
  }

  #open(): void {
    clearTimeout(this.#sleep);
    if (!this.#audio) {
      this.#audio = this.#means.audio();
      this.#master = this.#audio.createGain();
      this.#master.gain.value = this.#volume;
      this.#master.connect(this.#audio.destination);
    }
    // A browser that does not allow it yet waits for the next click.
    this.#audio.resume().catch(() => undefined);
  }

  async #fetch(job: Job, signal: AbortSignal): Promise<{ buffer: AudioBuffer; speed: number }> {
    const audio = this.#audio as Audio;
    const loop = await this.#means.loop(job.wanted, signal);
    const buffer = await audio.decodeAudioData(loop.bytes).catch(() => {
      throw new Error("The browser does not understand the sound that the server sent.");
    });
    return { buffer, speed: loop.speed };
  }

  /** A loop has come: it fades in where the crank is, and the one before fades out. */
  #take(buffer: AudioBuffer, speed: number): void {
    const audio = this.#audio;
    if (!audio || !this.#master || !this.#wanted) return;
    this.#count();
    const source = audio.createBufferSource();
    source.buffer = buffer;
    source.loop = true;
    const gain = audio.createGain();
    source.connect(gain).connect(this.#master);
    const lasts = this.#voice ? crossFade : fade;
    const level = Math.min(1, mostOfScale / Math.max(peakOf(buffer), 1e-9));
    gain.gain.setValueAtTime(0, audio.currentTime);
    gain.gain.linearRampToValueAtTime(level, audio.currentTime + lasts);
    this.#fadeOut(lasts);
    this.#voice = { source, gain, speed, rate: 1 };
    this.#tune();
    source.start(audio.currentTime, (((this.#turns % 2) * 60) / speed) % buffer.duration);
    this.#heard = true;
    this.#means.changed();
  }

  /** Brings what plays to the speed that is wanted. */
  #tune(): void {
    const v = this.#voice;
    if (!v || !this.#audio || !this.#wanted) return;
    this.#count();
    v.rate = rateFor(this.#wanted.speed, v.speed);
    v.source.playbackRate.setValueAtTime(v.rate, this.#audio.currentTime);
  }

  /** Counts the turns up to now. */
  #count(): void {
    const now = this.#audio?.currentTime ?? 0;
    const v = this.#voice;
    if (v) this.#turns += ((now - this.#counted) * v.speed * v.rate) / 60;
    this.#counted = now;
  }

  #fadeOut(lasts: number): void {
    const v = this.#voice;
    this.#voice = undefined;
    if (!v || !this.#audio) return;
    const now = this.#audio.currentTime;
    v.gain.gain.cancelScheduledValues(now);
    v.gain.gain.setValueAtTime(v.gain.gain.value, now);
    v.gain.gain.linearRampToValueAtTime(0, now + lasts);
    v.source.stop(now + lasts);
    v.source.onended = () => v.gain.disconnect();
  }

  #silence(): void {
    this.#queue.drop();
    this.#fadeOut(fade);
    this.#owner = "";
    this.#wanted = undefined;
    clearTimeout(this.#sleep);
    // The device rests when the last sound has faded.
    this.#sleep = setTimeout(() => void this.#audio?.suspend().catch(() => undefined), 500);
  }

  #failed(e: unknown, owner: string): void {
    this.#silence();
    this.#fault = { owner, words: this.#means.words(e) };
    this.#means.changed();
  }
}
