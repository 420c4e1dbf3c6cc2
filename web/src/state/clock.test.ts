import { describe, expect, test } from "vitest";
import { nextOf, overCycle, wrap } from "./angles";
import { Clock } from "./clock.svelte";

/** A screen whose frames come when the test says so. */
function byHand() {
  let next: ((ms: number) => void) | undefined;
  let now = 0;
  const clock = new Clock({
    request: (f) => {
      next = f;
      return 1;
    },
    cancel: () => (next = undefined),
  });
  const frame = (ms: number) => {
    now += ms;
    const f = next;
    next = undefined;
    f?.(now);
  };
  return { clock, frame };
}

describe("angles", () => {
  test("wrap over two turns", () => {
    expect(wrap(-10)).toBe(710);
    expect(wrap(720)).toBe(0);
    expect(wrap(1450)).toBe(10);
  });

  test("the next event, and the one before", () => {
    const events = [0, 180, 360, 540];
    expect(nextOf(events, 10, 1)).toBe(180);
    expect(nextOf(events, 10, -1)).toBe(0);
    expect(nextOf(events, 180, 1)).toBe(360);
    expect(nextOf(events, 0, -1)).toBe(540);
    expect(nextOf([90], 90, 1)).toBe(90);
    expect(nextOf([], 0, 1)).toBeUndefined();
  });

  test("both top dead centres of a cycle", () => {
    expect(overCycle(90)).toEqual([90, 450]);
    expect(overCycle(450)).toEqual([90, 450]);
  });
});

describe("the clock", () => {
  test("turns by its pace", () => {
    const { clock, frame } = byHand();
    clock.pace = 4;
    clock.play();
    frame(16); // the first frame only sets the time
    frame(50);
    frame(50);
    expect(clock.angle).toBeCloseTo(9, 9);
  });

  test("a sleeping tab does not make it jump", () => {
    const { clock, frame } = byHand();
    clock.pace = 1;
    clock.play();
    frame(16);
    frame(60_000);
    expect(clock.angle).toBeCloseTo(36, 9);
  });

  test("pausing, stepping, jumping", () => {
    const { clock, frame } = byHand();
    clock.play();
    frame(16);
    clock.step(-1);
    expect(clock.playing).toBe(false);
    expect(clock.angle).toBe(719);
    clock.jump([0, 360], 1);
    expect(clock.angle).toBe(0);
    clock.jump([], 1);
    expect(clock.angle).toBe(0);
    clock.toggle();
    expect(clock.playing).toBe(true);
    clock.toggle();
    expect(clock.playing).toBe(false);
  });

  test("followers hear every change, until they stop", () => {
    const { clock } = byHand();
    const heard: number[] = [];
    const stop = clock.follow((deg) => heard.push(deg));
    clock.seek(30);
    clock.seek(750);
    stop();
    clock.seek(1);
    expect(heard).toEqual([0, 30, 30]);
  });

  test("the pace stays within reason", () => {
    const { clock } = byHand();
    clock.pace = 1000;
    expect(clock.pace).toBe(60);
    clock.pace = 0;
    expect(clock.pace).toBe(0.25);
  });
});
