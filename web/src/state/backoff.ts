/** How long to wait before the nth new try [ms]: doubling, at most ten seconds. */
export function wait(tries: number): number {
  return Math.min(10_000, 500 * 2 ** Math.max(0, tries - 1));
}

/** Waits; a signal cuts it short. */
export function sleep(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((done) => {
    const t = setTimeout(done, ms);
    signal.addEventListener("abort", () => {
      clearTimeout(t);
      done();
    });
  });
}
