import { untrack } from "svelte";
import { fetchGood, inWords } from "../../api/client";
import { Player, sampleRate, type Loop, type Wanted } from "./player";

// The one player of the page, as the page sees it.

const remembered = "crankwright.volume";

/** Asks the server for whole cycles of a sound. */
async function fetchLoop(wanted: Wanted, signal: AbortSignal): Promise<Loop> {
  const response = await fetchGood("/api/sound/loop", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ ...wanted.body, speed_rpm: wanted.speed }),
    signal,
  });
  return {
    bytes: await response.arrayBuffer(),
    speed: Number(response.headers.get("Crank-Speed")) || wanted.speed,
  };
}

/** Tells the page when the player changes. */
class Sounding {
  #changes = $state(0);
  readonly #player = new Player({
    audio: () => new AudioContext({ sampleRate }),
    loop: fetchLoop,
    words: inWords,
    // Not read by an effect that plays or stops, or it would run for ever.
    changed: () => untrack(() => this.#changes++),
  });

  constructor() {
    if (typeof document === "undefined") return;
    document.addEventListener("visibilitychange", () => {
      if (document.hidden) this.#player.stop();
    });
    try {
      const text = localStorage.getItem(remembered);
      if (text !== null && Number.isFinite(Number(text))) this.#player.volume = Number(text);
    } catch {
      // A browser that keeps nothing begins with the low volume each time.
    }
  }

  #read(): Player {
    void this.#changes;
    return this.#player;
  }

  get owner(): string {
    return this.#read().owner;
  }
  get heard(): boolean {
    return this.#read().heard;
  }
  get volume(): number {
    return this.#read().volume;
  }
  standing(owner: string): "silent" | "starting" | "playing" {
    return this.#read().standing(owner);
  }
  fault(owner: string): string {
    return this.#read().fault(owner);
  }

  play(owner: string, wanted: Wanted): void {
    this.#player.play(owner, wanted);
  }
  change(owner: string, wanted: Wanted): void {
    this.#player.change(owner, wanted);
  }
  stop(owner?: string): void {
    this.#player.stop(owner);
  }
  /** Sets the volume, from 0 to 1, and remembers it. */
  setVolume(v: number): void {
    this.#player.volume = v;
    try {
      localStorage.setItem(remembered, String(this.#player.volume));
    } catch {
      // Not remembered then.
    }
  }
}

export const sounding = new Sounding();
