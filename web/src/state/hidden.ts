/** Calls back once the page has been hidden for a while [ms]. Returns how to stop watching. */
export function onHidden(after: number, then: () => void): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const look = () => {
    clearTimeout(timer);
    timer = document.hidden ? setTimeout(then, after) : undefined;
  };
  document.addEventListener("visibilitychange", look);
  look();
  return () => {
    clearTimeout(timer);
    document.removeEventListener("visibilitychange", look);
  };
}

/** Ends when the page can be seen, at once if it can, or when the signal says stop. */
export function seen(signal: AbortSignal): Promise<void> {
  return new Promise((done) => {
    const look = () => {
      if (document.hidden && !signal.aborted) return;
      document.removeEventListener("visibilitychange", look);
      signal.removeEventListener("abort", look);
      done();
    };
    document.addEventListener("visibilitychange", look);
    signal.addEventListener("abort", look);
    look();
  });
}
