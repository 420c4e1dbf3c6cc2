/**
 * Sessions by file: what is not saved is still there when the reader comes back to the page, and nothing of it is lost
 * by leaving the workbench without a question.
 */
export function keptByFile<S extends { readonly dirty: boolean }>(
  make: (file: string) => S,
): (file: string) => S {
  const kept = new Map<string, S>();
  const ask = (e: BeforeUnloadEvent): void => {
    if ([...kept.values()].some((s) => s.dirty)) e.preventDefault();
  };
  return (file) => {
    if (kept.size === 0) addEventListener("beforeunload", ask);
    const session = kept.get(file) ?? make(file);
    kept.set(file, session);
    return session;
  };
}
