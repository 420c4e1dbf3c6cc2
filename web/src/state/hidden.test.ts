import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { onHidden, seen } from "./hidden";

/** A page that can be hidden. */
class Page extends EventTarget {
  hidden = false;
  show(on: boolean) {
    this.hidden = !on;
    this.dispatchEvent(new Event("visibilitychange"));
  }
}
let page: Page;

beforeEach(() => {
  vi.useFakeTimers();
  page = new Page();
  vi.stubGlobal("document", page);
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

test("a page that is hidden for long says so once, a short look away does not count", () => {
  const then = vi.fn();
  const stop = onHidden(1000, then);
  page.show(false);
  vi.advanceTimersByTime(900);
  page.show(true);
  vi.advanceTimersByTime(5000);
  expect(then).not.toHaveBeenCalled();
  page.show(false);
  vi.advanceTimersByTime(1000);
  expect(then).toHaveBeenCalledTimes(1);
  stop();
  page.show(true);
  page.show(false);
  vi.advanceTimersByTime(5000);
  expect(then).toHaveBeenCalledTimes(1);
});

test("waiting to be seen ends when it is, or when it is told to stop", async () => {
  const never = new AbortController();
  await seen(never.signal);
  page.show(false);
  let done = false;
  const waiting = seen(never.signal).then(() => (done = true));
  await Promise.resolve();
  expect(done).toBe(false);
  page.show(true);
  await waiting;
  expect(done).toBe(true);
  page.show(false);
  const stopped = seen(never.signal);
  never.abort();
  await stopped;
});
