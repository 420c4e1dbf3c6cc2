import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { ApiError } from "../api/client";
import type { Edit, EngineView } from "../api/types";

/** A server with one file of lines "key: value"; it can be away, slow, and its answers can be lost. */
const server = vi.hoisted(() => ({
  text: "",
  etag: 1,
  away: false,
  lost: false,
  speeds: [] as number[],
  saved: [] as string[],
  /** Readings of the file that wait for their answer. */
  held: undefined as (() => void)[] | undefined,
}));
const file = "a.engine.yaml";
const first = "bore: 80 mm\nstroke: 90 mm\n";

function view(text: string, speed: number): EngineView {
  const lines = text.split("\n").filter(Boolean);
  return {
    file,
    etag: `e${server.etag}`,
    text,
    fields: lines.map((l) => ({ path: l.split(": ")[0], text: l.split(": ")[1], given: true })),
    problems: /wrong/.test(text) ? [{ what: "wrong", line: 1, column: 1 }] : [],
    result: { speed_rpm: speed },
    saved: true,
  } as unknown as EngineView;
}
function edited(text: string, edits: Edit[]): string {
  for (const e of edits)
    text = text.replace(new RegExp(`^${e.path}: .*$`, "m"), `${e.path}: ${e.text}`);
  return text;
}
function here(): void {
  if (server.away) throw new ApiError(0, undefined);
}
function outside(text: string): void {
  server.text = text;
  server.etag++;
}

vi.mock("../api/calls", () => ({
  getEngine: async (_: string, speed: number) => {
    const at = view(server.text, speed);
    if (server.held) await new Promise<void>((go) => server.held?.push(go));
    here();
    return at;
  },
  getLineup: () => Promise.reject(new Error("no line-up here")),
}));
vi.mock("./calls", () => ({
  preview: (d: { text: string; edits: Edit[]; speed: number }) => {
    try {
      here();
    } catch (e) {
      return Promise.reject(e as Error);
    }
    server.speeds.push(d.speed);
    return Promise.resolve(view(edited(d.text, d.edits), d.speed));
  },
  save: (_: string, etag: string, what: { edits?: Edit[]; text?: string }, speed: number) => {
    try {
      here();
      if (etag !== `e${server.etag}`) throw new ApiError(412, {});
    } catch (e) {
      return Promise.reject(e as Error);
    }
    server.text = what.text ?? edited(server.text, what.edits ?? []);
    server.etag++;
    server.saved.push(server.text);
    if (server.lost) return Promise.reject(new ApiError(0, undefined));
    return Promise.resolve(view(server.text, speed));
  },
}));

const { EngineSession } = await import("./session.svelte");

/** Lets all that is on its way arrive. */
async function rest(): Promise<void> {
  for (let i = 0; i < 30; i++) await Promise.resolve();
}
async function open() {
  const s = new EngineSession(file);
  await s.load(0);
  return s;
}
const bore = (text: string): Edit[] => [{ path: "bore", text }];
const stroke = (text: string): Edit[] => [{ path: "stroke", text }];

beforeEach(() => {
  vi.useFakeTimers();
  Object.assign(server, {
    text: first,
    etag: 1,
    away: false,
    lost: false,
    speeds: [],
    saved: [],
    held: undefined,
  });
});
afterEach(() => void vi.useRealTimers());

describe("while the server is away", () => {
  test("what is saved waits, and another field that is given up takes nothing with it", async () => {
    const s = await open();
    server.away = true;
    await s.commit(bore("81 mm"));
    expect(s.standing).toBe("unsaved");
    expect(s.dirty).toBe(true);
    s.try(stroke("91 mm"));
    await rest();
    s.cancel();
    expect(s.standing).toBe("unsaved");
    server.away = false;
    await s.again();
    expect(server.saved).toEqual(["bore: 81 mm\nstroke: 90 mm\n"]);
    expect(s.standing).toBe("saved");
    expect(s.dirty).toBe(false);
  });
  test("all that waits is saved, also where nobody looks at the page", async () => {
    const s = await open();
    server.away = true;
    await s.commit(bore("81 mm"));
    await s.commit(stroke("91 mm"));
    s.rest();
    server.away = false;
    await vi.advanceTimersByTimeAsync(2500);
    expect(server.saved).toEqual(["bore: 81 mm\nstroke: 91 mm\n"]);
    expect(s.standing).toBe("saved");
  });
  test("a save whose answer is lost is no conflict with itself", async () => {
    const s = await open();
    server.lost = true;
    await s.commit(bore("81 mm"));
    expect(s.standing).toBe("unsaved");
    server.lost = false;
    s.try(stroke("91 mm")); // goes on meanwhile
    await s.again();
    expect(s.conflict).toBeUndefined();
    expect(s.edits).toEqual(stroke("91 mm"));
    await s.commit();
    expect(server.text).toBe("bore: 81 mm\nstroke: 91 mm\n");
  });
  test("a speed that was tried is asked for when it is back", async () => {
    const s = await open();
    server.away = true;
    s.trySpeed(3000);
    await rest();
    expect(s.doc?.speed_rpm).toBe(0);
    server.away = false;
    await vi.advanceTimersByTimeAsync(2500);
    expect(s.doc?.speed_rpm).toBe(3000);
    expect(s.fault).toBe("");
  });
  test("a page that could not be read is read", async () => {
    server.away = true;
    const s = await open();
    expect(s.view).toBeUndefined();
    expect(s.fault).not.toBe("");
    server.away = false;
    await vi.advanceTimersByTimeAsync(2500);
    expect(s.view?.text).toBe(first);
    expect(s.fault).toBe("");
  });
});

test("an earlier slow reading does not land after a later one, nor after a save", async () => {
  const s = await open();
  server.held = [];
  const slow = s.load(0);
  outside(first.replace("80", "82"));
  const held = server.held;
  server.held = undefined;
  await s.load(0);
  expect(s.view?.text).toContain("82 mm");
  held.forEach((go) => go());
  await slow;
  expect(s.view?.text).toContain("82 mm");

  server.held = [];
  const reading = s.load(0);
  const before = server.held;
  server.held = undefined;
  await s.commit(bore("83 mm"));
  before.forEach((go) => go());
  await reading;
  expect(s.view?.text).toContain("83 mm");
  await s.commit(stroke("93 mm"));
  expect(s.conflict).toBeUndefined();
  expect(server.text).toBe("bore: 83 mm\nstroke: 93 mm\n");
});

describe("a conflict", () => {
  test("takes in what is changed while it is open", async () => {
    const s = await open();
    outside(first.replace("90", "95"));
    await s.commit(bore("81 mm"));
    expect(s.conflict?.of).toBe("edits");
    await s.commit(bore("84 mm"));
    expect(server.saved).toEqual([]);
    expect(s.edits).toEqual(bore("84 mm"));
    await s.settle("mine");
    expect(server.saved).toEqual(["bore: 84 mm\nstroke: 95 mm\n"]);
    expect(s.standing).toBe("saved");
  });
  test("is over with the file as it is", async () => {
    const s = await open();
    outside(first.replace("90", "95"));
    await s.commit(bore("81 mm"));
    await s.settle("theirs");
    expect(s.view?.text).toBe("bore: 80 mm\nstroke: 95 mm\n");
    expect(s.dirty).toBe(false);
    expect(server.saved).toEqual([]);
  });
});

describe("the text of the file", () => {
  test("is saved over the state at the first key: a change since then is a conflict", async () => {
    const s = await open();
    s.write(`${first}# mine\n`);
    outside(first.replace("90", "95"));
    s.noticed("e2");
    await rest();
    expect(s.view?.text).toContain("95 mm");
    expect([s.text, s.textOver]).toEqual([`${first}# mine\n`, first]);
    expect([s.dirty, s.standing]).toEqual([true, "unsaved"]);
    await s.saveText();
    expect(server.saved).toEqual([]);
    expect(s.conflict?.of).toBe("text");

    await s.settle("theirs");
    expect([s.text, s.dirty]).toEqual([undefined, false]);
    s.undo();
    expect(s.text).toBe(`${first}# mine\n`);
    await s.saveText();
    expect(server.saved).toEqual([]);
    await s.settle("mine");
    expect(server.saved).toEqual([`${first}# mine\n`]);
    expect([s.text, s.standing, s.undoes]).toEqual([undefined, "saved", ""]);
  });
  test("so is an input that is committed meanwhile", async () => {
    const s = await open();
    s.write(`${first}# mine\n`);
    await s.commit(bore("81 mm"));
    await s.saveText();
    expect(s.conflict?.of).toBe("text");
    expect(server.text).toBe("bore: 81 mm\nstroke: 90 mm\n");
  });
  test("a change that was taken back is none", async () => {
    const s = await open();
    s.write(`${first}# mine\n`);
    outside(first.replace("90", "95"));
    s.noticed("e2");
    await rest();
    outside(first);
    s.noticed("e3");
    await rest();
    await s.saveText();
    expect(s.conflict).toBeUndefined();
    expect(server.text).toBe(`${first}# mine\n`);
  });
  test("goes back and forth by undo", async () => {
    const s = await open();
    s.write("a");
    vi.advanceTimersByTime(1500);
    s.write("ab");
    s.write(undefined);
    expect(s.redoes).toBe("");
    s.undo();
    expect(s.text).toBe("ab");
    s.undo();
    expect(s.text).toBe("a");
    s.redo();
    expect(s.text).toBe("ab");
    s.undo();
    s.undo();
    expect([s.text, s.undoes]).toEqual([undefined, ""]);
  });
});

test("undo takes a saved input back before a text that was given up before it", async () => {
  const s = await open();
  s.write(`${first}# mine\n`);
  s.write(undefined);
  await s.commit(bore("81 mm"));
  expect(s.undoes).toBe("");
});

test("undo drops what is being tried before anything else", async () => {
  const s = await open();
  s.write(`${first}# mine\n`);
  s.try(bore("81 mm"));
  await rest();
  expect(s.undoes).toBe("what is being tried");
  s.undo();
  expect([s.busy, s.text]).toEqual([false, `${first}# mine\n`]);
  expect(s.view?.text).toBe(first);
});
