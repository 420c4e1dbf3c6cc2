import { beforeEach, describe, expect, test, vi } from "vitest";

// A browser of just what the address needs.
const entries: string[] = [];
let pop: (() => void) | undefined;
function fakeBrowser(at: string) {
  entries.splice(0, entries.length, at);
  const here = () => new URL(entries.at(-1) ?? "/", "http://127.0.0.1");
  vi.stubGlobal("location", {
    get pathname() {
      return here().pathname;
    },
    get search() {
      return here().search;
    },
  });
  vi.stubGlobal("history", {
    pushState: (_: unknown, __: string, to: string) => entries.push(to),
    replaceState: (_: unknown, __: string, to: string) => entries.splice(-1, 1, to),
  });
  vi.stubGlobal("addEventListener", (_: string, f: () => void) => (pop = f));
  vi.stubGlobal("removeEventListener", () => undefined);
  vi.stubGlobal("scrollTo", () => undefined);
}

async function fresh(at: string) {
  fakeBrowser(at);
  vi.resetModules();
  return (await import("./url.svelte")).url;
}

beforeEach(() => {
  vi.useFakeTimers();
});

describe("the address", () => {
  test("is read at the start", async () => {
    const url = await fresh("/?view=top&speed=3000");
    expect(url.path).toBe("/");
    expect(url.values.view).toBe("top");
    expect(url.values.speed).toBe(3000);
  });

  test("a step makes an entry, a movement replaces one and comes late", async () => {
    const url = await fresh("/");
    url.set({ view: "side" });
    expect(entries).toEqual(["/", "/?view=side"]);
    url.set({ angle: 10 }, "move");
    url.set({ angle: 20 }, "move");
    expect(entries).toHaveLength(2);
    vi.advanceTimersByTime(200);
    expect(entries).toEqual(["/", "/?view=side&angle=20"]);
  });

  test("nothing new is written for nothing new", async () => {
    const url = await fresh("/?view=side");
    url.set({ view: "side" });
    expect(entries).toHaveLength(1);
  });

  test("back brings the former state", async () => {
    const url = await fresh("/");
    const told = vi.fn();
    url.listen(told);
    url.set({ baseline: "a.engine.yaml" });
    entries.pop();
    pop?.();
    expect(url.values.baseline).toBe("");
    expect(told).toHaveBeenCalledOnce();
  });

  test("states follow to another page", async () => {
    const url = await fresh("/?theme=dark");
    url.go("/evidence", { find: "x" });
    expect(entries.at(-1)).toBe("/evidence?theme=dark&find=x");
    expect(url.href("/")).toBe("/?theme=dark&find=x");
  });
});
