import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { ApiError } from "../api/client";
import type { BriefView, ChoiceAnswer, Edit } from "../api/types";

const server = vi.hoisted(() => ({ text: "", etag: 1, saved: [] as string[] }));
const first = "name: A boat\n";

function view(): BriefView {
  return {
    file: "a.brief.yaml",
    etag: `e${server.etag}`,
    text: server.text,
    problems: [],
    brief: { name: "A boat", limits: [], priorities: [] },
  } as unknown as BriefView;
}
vi.mock("../api/calls", () => ({
  getBrief: () => Promise.resolve(view()),
  saveBrief: (_: string, etag: string, what: { edits?: Edit[]; text?: string }) => {
    if (etag !== `e${server.etag}`) return Promise.reject(new ApiError(412, {}));
    server.text = what.text ?? server.text + (what.edits ?? []).map((e) => `${e.path}\n`).join("");
    server.etag++;
    server.saved.push(server.text);
    return Promise.resolve(view());
  },
  getLineup: () => Promise.reject(new Error("no line-up here")),
}));
vi.mock("./calls", () => ({
  choose: () => Promise.resolve({ left_out: [] } as unknown as ChoiceAnswer),
}));
const { ChoiceSession } = await import("./session.svelte");

async function rest(): Promise<void> {
  for (let i = 0; i < 30; i++) await Promise.resolve();
}
async function open() {
  const s = new ChoiceSession("a.brief.yaml");
  await s.load();
  return s;
}
const weigh = (key: string, points: string): Edit[] => [{ path: key, text: points }];

beforeEach(() => {
  vi.useFakeTimers();
  Object.assign(server, { text: first, etag: 1, saved: [] });
});
afterEach(() => void vi.useRealTimers());

describe("what is tried of a brief", () => {
  test("is taken back one by one, a discard as well", async () => {
    const s = await open();
    for (const p of ["1", "2", "3"]) s.try(weigh("cost", p));
    s.try(weigh("quiet", "4"));
    s.undo();
    expect(s.edits).toEqual(weigh("cost", "3"));
    s.redo();
    expect(s.edits).toHaveLength(2);
    s.discard();
    expect(s.dirty).toBe(false);
    expect(s.undoes).not.toBe("");
    s.undo();
    expect(s.edits).toHaveLength(2);
    s.undo();
    s.undo();
    expect([s.dirty, s.undoes]).toEqual([false, ""]);
  });
  test("is the folder's once it is saved", async () => {
    const s = await open();
    s.try(weigh("cost", "1"));
    await s.save();
    expect(server.saved).toEqual(["name: A boat\ncost\n"]);
    expect([s.dirty, s.undoes, s.redoes]).toEqual([false, "", ""]);
  });
  test("meets a change from outside also after it was brought back", async () => {
    const s = await open();
    s.tryText(`${first}# mine\n`);
    server.text = `${first}# theirs\n`;
    server.etag++;
    s.noticed("e2");
    await rest();
    expect(s.clash).toBe(true);
    await s.settle("theirs");
    expect([s.dirty, s.clash, s.base?.etag]).toEqual([false, false, "e2"]);
    s.undo();
    expect([s.text, s.clash]).toEqual([`${first}# mine\n`, true]);
    await s.save();
    expect(server.saved).toEqual([]);
    s.redo();
    await rest();
    expect([s.dirty, s.clash, s.base?.etag]).toEqual([false, false, "e2"]);
  });
});
