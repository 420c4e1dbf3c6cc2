import { expect, test, vi } from "vitest";
import { keptByFile } from "./kept";

test("what is not saved is kept, of the rest only the newest", () => {
  let ask: ((e: { preventDefault: () => void }) => void) | undefined;
  vi.stubGlobal("addEventListener", (_: string, f: typeof ask) => (ask = f));
  const of = keptByFile((file): { file: string; dirty: boolean } => ({ file, dirty: false }), 2);
  const asks = () => {
    const preventDefault = vi.fn();
    ask?.({ preventDefault });
    return preventDefault.mock.calls.length > 0;
  };
  const a = of("a");
  const b = of("b");
  expect(of("a")).toBe(a);
  expect(asks()).toBe(false);
  a.dirty = true;
  of("c");
  of("d");
  of("e");
  expect(of("a")).toBe(a);
  expect(asks()).toBe(true);
  expect(of("b")).not.toBe(b);
});
