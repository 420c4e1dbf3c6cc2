import { beforeEach, describe, expect, test, vi } from "vitest";
import {
  crossFade,
  fade,
  fastest,
  mostOfScale,
  Player,
  slowest,
  type Audio,
  type Loop,
  type Wanted,
} from "./player";

/** A value over time, as Web Audio keeps it: set, or led in a line from the event before. */
class Param {
  events: { at: number; to: number; line: boolean }[] = [];
  constructor(
    readonly audio: FakeAudio,
    public first = 1,
  ) {}
  at(t: number): number {
    let now = { at: 0, to: this.first };
    for (const e of this.events) {
      if (e.at > t)
        return e.line ? now.to + ((e.to - now.to) * (t - now.at)) / (e.at - now.at) : now.to;
      now = e;
    }
    return now.to;
  }
  get value(): number {
    return this.at(this.audio.currentTime);
  }
  set value(v: number) {
    this.first = v;
  }
  setValueAtTime(to: number, at: number) {
    this.events.push({ at, to, line: false });
  }
  linearRampToValueAtTime(to: number, at: number) {
    this.events.push({ at, to, line: true });
  }
  setTargetAtTime(to: number, at: number) {
    this.events.push({ at, to, line: false });
  }
  cancelScheduledValues(from: number) {
    this.events = this.events.filter((e) => e.at < from);
  }
}

class FakeAudio {
  currentTime = 0;
  destination = {};
  gains: { gain: Param; gone: boolean }[] = [];
  sources: {
    buffer: { peak: number } | null;
    loop: boolean;
    playbackRate: Param;
    started?: [number, number];
    stopped?: number;
  }[] = [];
  resumed = 0;
  suspended = 0;
  broken = false;
  createGain() {
    const node = {
      gain: new Param(this),
      gone: false,
      connect: (x: unknown) => x,
      disconnect() {},
    };
    this.gains.push(node);
    return node;
  }
  createBufferSource() {
    const node: FakeAudio["sources"][0] & Record<string, unknown> = {
      buffer: null,
      loop: false,
      playbackRate: new Param(this),
      connect: (x: unknown) => x,
      start(at: number, offset: number) {
        node.started = [at, offset];
      },
      stop(at: number) {
        node.stopped = at;
      },
    };
    this.sources.push(node);
    return node;
  }
  /** The first byte stands for the peak, in hundredths of full scale. */
  decodeAudioData(bytes: ArrayBuffer) {
    if (this.broken) return Promise.reject(new Error("EncodingError"));
    const peak = (new Uint8Array(bytes)[0] ?? 0) / 100;
    return Promise.resolve({
      peak,
      duration: 2,
      numberOfChannels: 1,
      getChannelData: () => new Float32Array([0, -peak, peak / 2]),
    });
  }
  resume() {
    this.resumed++;
    return Promise.resolve();
  }
  suspend() {
    this.suspended++;
    return Promise.resolve();
  }
  /** What leaves at a time if all loops stand at their peaks at once. */
  out(t: number): number {
    const [master, ...voices] = this.gains;
    return (
      (master?.gain.at(t) ?? 0) *
      voices.reduce((sum, v, i) => {
        const s = this.sources[i];
        const over = s?.stopped !== undefined && t >= s.stopped;
        return sum + (over ? 0 : v.gain.at(t) * (s?.buffer?.peak ?? 0));
      }, 0)
    );
  }
}

interface Asked {
  wanted: Wanted;
  signal: AbortSignal;
  answer: (speed: number, peak?: number) => Promise<void>;
  refuse: (why: string) => Promise<void>;
}

let audio: FakeAudio;
let asked: Asked[];
let opened: number;
let player: Player;
const settle = async () => {
  for (let i = 0; i < 20; i++) await Promise.resolve();
};
const pass = async (ms: number) => {
  audio.currentTime += ms / 1000;
  await vi.advanceTimersByTimeAsync(ms);
};
const want = (speed: number, load = 100): Wanted => ({ body: { load_percent: load }, speed });

beforeEach(() => {
  vi.useFakeTimers();
  audio = new FakeAudio();
  asked = [];
  opened = 0;
  player = new Player({
    audio: () => {
      opened++;
      return audio as unknown as Audio;
    },
    loop: (wanted, signal) =>
      new Promise<Loop>((resolve, reject) => {
        asked.push({
          wanted,
          signal,
          answer: (speed, peak = 25) => {
            resolve({ bytes: new Uint8Array([peak]).buffer, speed });
            return settle();
          },
          refuse: (why) => {
            reject(new Error(why));
            return settle();
          },
        });
      }),
    words: (e) => (e instanceof Error ? e.message : ""),
    changed: () => undefined,
  });
});

/** Plays and answers. */
async function start(owner: string, speed: number, peak?: number): Promise<void> {
  player.play(owner, want(speed));
  await pass(1);
  await asked.at(-1)?.answer(speed, peak);
}

describe("one engine", () => {
  test("nothing sounds, and no audio is opened, before it is asked for", async () => {
    player.change("a", want(3000));
    await pass(1000);
    expect([opened, asked.length, player.heard]).toEqual([0, 0, false]);
  });

  test("a loop fades in and is repeated", async () => {
    player.play("a", want(3000));
    expect(player.standing("a")).toBe("starting");
    await pass(1);
    await asked[0]?.answer(3000);
    expect(player.standing("a")).toBe("playing");
    expect(audio.sources[0]?.loop).toBe(true);
    const voice = audio.gains[1]?.gain;
    const from = audio.currentTime;
    expect(voice?.at(from)).toBe(0);
    expect(voice?.at(from + fade / 2)).toBeCloseTo(0.5, 9);
    expect(voice?.at(from + fade)).toBe(1);
  });

  test("a new speed is heard at once, within bounds, and truly when its loop has come", async () => {
    await start("a", 3000);
    const first = audio.sources[0];
    await pass(1000);
    for (const [speed, rate] of [
      [3300, 1.1],
      [6000, fastest],
      [900, slowest],
    ] as const) {
      player.change("a", want(speed));
      expect(first?.playbackRate.value).toBeCloseTo(rate, 9);
    }
    expect(asked.length).toBe(1);
    await pass(160);
    expect(asked.map((a) => a.wanted.speed)).toEqual([3000, 900]);
    await asked[1]?.answer(901);
    expect(audio.sources[1]?.playbackRate.value).toBeCloseTo(900 / 901, 9);
    expect(first?.stopped).toBeCloseTo(audio.currentTime + crossFade, 9);
    const [, before, after] = audio.gains;
    for (const share of [0, 0.25, 0.5, 1]) {
      const t = audio.currentTime + share * crossFade;
      expect(before?.gain.at(t)).toBeCloseTo(1 - share, 9);
      expect(after?.gain.at(t)).toBeCloseTo(share, 9);
    }
  });

  test("the next loop goes on at the crank angle of the one before", async () => {
    await start("a", 3000);
    await pass(1010); // 50.5 turns: half a turn into the cycle
    player.change("a", want(3000, 50));
    await pass(150); // 7.5 turns more: 58 turns, so the cycle begins anew
    await pass(10); // and half a turn
    await asked[1]?.answer(1500);
    expect(audio.sources[1]?.started?.[1]).toBeCloseTo(0.5 * (60 / 1500), 6);
  });

  test("an answer that was overtaken never sounds", async () => {
    await start("a", 3000);
    player.change("a", want(4000));
    await pass(200);
    player.stop("a");
    await asked[1]?.answer(4000);
    expect(asked[1]?.signal.aborted).toBe(true);
    expect(audio.sources.length).toBe(1);
    player.play("a", want(2000));
    await pass(1);
    await asked[1]?.answer(4000);
    await asked[2]?.answer(2000);
    expect(audio.sources.length).toBe(2);
  });

  test("of many changes the last one is asked for, and one at a time", async () => {
    await start("a", 3000);
    for (let n = 3010; n <= 3200; n += 10) {
      player.change("a", want(n));
      await pass(20);
    }
    expect(asked.length).toBe(2);
    await asked[1]?.answer(asked[1].wanted.speed);
    await settle();
    expect(asked.length).toBe(3);
    expect(asked[2]?.wanted.speed).toBe(3200);
    player.change("a", want(3200));
    await pass(500);
    expect(asked.length).toBe(3);
  });

  test("it fades out, and the device rests", async () => {
    await start("a", 3000);
    await pass(100);
    player.stop();
    expect(player.owner).toBe("");
    expect(audio.sources[0]?.stopped).toBeCloseTo(audio.currentTime + fade, 9);
    expect(audio.out(audio.currentTime + fade / 2)).toBeCloseTo(
      audio.out(audio.currentTime) / 2,
      9,
    );
    expect(audio.suspended).toBe(0);
    await pass(600);
    expect(audio.suspended).toBe(1);
  });
});

describe("loudness", () => {
  test("stays below the limit at any volume, with any loop, and while loops change", async () => {
    player.volume = 7;
    expect(player.volume).toBe(1);
    await start("a", 3000, 100);
    await pass(30); // still fading in
    for (let i = 1; i <= 8; i++) {
      player.change("a", want(3000 + 100 * i));
      await pass(155);
      await asked.at(-1)?.answer(3000 + 100 * i, i % 2 ? 25 : 100);
      for (let t = audio.currentTime; t < audio.currentTime + 0.1; t += 0.002)
        expect(audio.out(t)).toBeLessThanOrEqual(mostOfScale + 1e-9);
    }
    expect(asked.length).toBe(9);
  });

  test("a loop as the server makes it is not changed, and the volume scales it", async () => {
    await start("a", 3000, 25);
    await pass(100);
    expect(audio.out(audio.currentTime)).toBeCloseTo(0.25 * 0.3, 9);
    player.volume = 0.6;
    expect(audio.out(audio.currentTime)).toBeCloseTo(0.25 * 0.6, 9);
    player.volume = NaN;
    expect(player.volume).toBe(0);
  });
});

describe("the page", () => {
  test("has one sound: who plays silences who played", async () => {
    await start("a", 3000);
    await pass(100);
    player.play("b", want(2000));
    expect([player.standing("a"), player.standing("b")]).toEqual(["silent", "starting"]);
    expect(audio.sources[0]?.stopped).toBeCloseTo(audio.currentTime + fade, 9);
    player.change("a", want(4000));
    player.stop("a");
    await pass(600);
    await asked[1]?.answer(2000);
    expect(player.standing("b")).toBe("playing");
    expect(audio.suspended).toBe(0);
    expect(opened).toBe(1);
  });

  test("is told what went wrong, by whom, until the next try", async () => {
    player.play("a", want(3000));
    await pass(1);
    await asked[0]?.refuse("the speed is too low");
    expect([player.fault("a"), player.fault("b"), player.owner]).toEqual([
      "the speed is too low",
      "",
      "",
    ]);
    audio.broken = true;
    await start("a", 3000);
    expect(player.fault("a")).toMatch(/does not understand/);
    audio.broken = false;
    await start("a", 3000);
    expect(player.fault("a")).toBe("");
    expect(player.standing("a")).toBe("playing");
  });

  test("a browser without audio says so", () => {
    const mute = new Player({
      audio: () => {
        throw new Error("not supported");
      },
      loop: () => Promise.reject(new Error("never asked")),
      words: (e) => (e as Error).message,
      changed: () => undefined,
    });
    mute.play("a", want(1000));
    expect(mute.fault("a")).toBe("This browser plays no sound.");
    expect(mute.owner).toBe("");
  });
});
