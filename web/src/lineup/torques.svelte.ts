import { SvelteMap } from "svelte/reactivity";
import { ApiError, inWords } from "../api/client";
import type { TorqueAnswer } from "../api/types";
import { postJson } from "../engine/calls";

// The torque of the engines side by side at full load. It takes the server longer than the rest, so it is asked
// for only while it is looked at, few engines at a time, and kept.

type TorqueDoc = TorqueAnswer["torque"];

/** One state of an engine at one speed. */
export interface Asked {
  file: string;
  etag: string;
  text: string;
  /** Crank speed [rpm]; 0: the speed in the file. */
  speed: number;
}

interface Known {
  doc?: TorqueDoc;
  /** Why there is none. */
  error?: string;
  /** The server did not answer: to be asked for again. */
  gone?: boolean;
}

/** How many are asked for at the same time, and how many are kept. */
export const atOnce = 2;
export const mostKept = 40;

type Ask = (a: Asked) => Promise<TorqueDoc>;

const ask: Ask = async ({ file, text, speed }) => {
  const body = { file, text, speed_rpm: speed };
  return (await postJson<TorqueAnswer>("/api/torque", body, new AbortController().signal)).torque;
};

export class Torques {
  readonly #ask: Ask;
  readonly #known = new SvelteMap<string, Known>();
  /** The newest answer of each file: shown until the wanted one has come. */
  readonly #newest = new SvelteMap<string, TorqueDoc>();
  readonly #running = new Set<string>();
  #wanted: Asked[] = [];

  constructor(how: Ask = ask) {
    this.#ask = how;
  }

  /** What is known: the answer, why there is none, or the last answer at another speed. */
  at(a: Asked): Known {
    const known = this.#known.get(key(a));
    if (known?.doc || known?.error) return known;
    const doc = this.#newest.get(a.file);
    return doc ? { doc } : {};
  }

  /** These are wanted now; what was wanted before and has not been asked for is forgotten. */
  want(list: Asked[]): void {
    this.#wanted = list.filter((a) => {
      const known = this.#known.get(key(a));
      return (!known || known.gone) && !this.#running.has(key(a));
    });
    this.#go();
  }

  #go(): void {
    while (this.#running.size < atOnce) {
      const next = this.#wanted.shift();
      if (!next) return;
      void this.#run(next);
    }
  }

  async #run(a: Asked): Promise<void> {
    const k = key(a);
    this.#running.add(k);
    try {
      const doc = await this.#ask(a);
      this.#known.set(k, { doc });
      this.#newest.set(a.file, doc);
    } catch (e) {
      const gone = e instanceof ApiError && e.fault === "gone";
      this.#known.set(k, { error: inWords(e), gone });
    }
    for (const old of [...this.#known.keys()].slice(0, Math.max(0, this.#known.size - mostKept)))
      this.#known.delete(old);
    this.#running.delete(k);
    this.#go();
  }
}

function key(a: Asked): string {
  return `${a.file} ${a.etag} ${a.speed}`;
}

export const torques = new Torques();
