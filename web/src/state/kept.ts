/**
 * Sessions by file: what is not saved is still there when the reader comes back to the page, and nothing of it is lost
 * by leaving the workbench without a question. Of sessions that have nothing unsaved only so many are kept.
 */
export function keptByFile<S extends { readonly dirty: boolean }>(
  make: (file: string) => S,
  most = Infinity,
): (file: string) => S {
  const kept = new Map<string, S>();
  const ask = (e: BeforeUnloadEvent): void => {
    if ([...kept.values()].some((s) => s.dirty)) e.preventDefault();
  };
  return (file) => {
    if (kept.size === 0) addEventListener("beforeunload", ask);
    const session = kept.get(file) ?? make(file);
    kept.delete(file); // the newest stands last
    kept.set(file, session);
    const clean = [...kept].filter(([, s]) => !s.dirty);
    for (const [old] of clean.slice(0, Math.max(0, clean.length - most))) kept.delete(old);
    return session;
  };
}
