import { describe, expect, test } from "vitest";
import { LatestQueue, Line, mergeEdits } from "./queue";

interface Call {
  job: number;
  signal: AbortSignal;
  answer: (v: string) => void;
  break: (e: Error) => void;
}

function bench() {
  const frames: (() => void)[] = [];
  const calls: Call[] = [];
  const applied: string[] = [];
  const failed: string[] = [];
  const queue = new LatestQueue<number, string>(
    {
      send: (job, signal) =>
        new Promise((answer, reject) => calls.push({ job, signal, answer, break: reject })),
      apply: (a) => applied.push(a),
      fail: (e) => failed.push(String(e)),
    },
    (run) => {
      frames.push(run);
      return () => frames.splice(frames.indexOf(run), 1);
    },
  );
  const frame = async () => {
    for (const f of frames.splice(0)) f();
    await rest();
  };
  const rest = () => new Promise((r) => setTimeout(r));
  return { queue, frame, rest, frames, calls, applied, failed };
}

describe("the queue of previews", () => {
  test("many jobs in a frame are one request, the last", async () => {
    const b = bench();
    for (let i = 1; i <= 5; i++) b.queue.push(i);
    expect(b.calls).toHaveLength(0);
    await b.frame();
    expect(b.calls.map((c) => c.job)).toEqual([5]);
  });
  test("one request at a time; the newest that waited follows", async () => {
    const b = bench();
    b.queue.push(1);
    await b.frame();
    b.queue.push(2);
    b.queue.push(3);
    await b.frame();
    expect(b.calls.map((c) => c.job)).toEqual([1]);
    b.calls[0]?.answer("one");
    await b.rest();
    expect(b.applied).toEqual(["one"]);
    expect(b.calls.map((c) => c.job)).toEqual([1, 3]);
    b.calls[1]?.answer("three");
    await b.rest();
    expect(b.applied).toEqual(["one", "three"]);
    expect(b.queue.busy).toBe(false);
  });
  test("what was dropped is never shown, even if it still answers", async () => {
    const b = bench();
    b.queue.push(1);
    await b.frame();
    b.queue.drop();
    expect(b.calls[0]?.signal.aborted).toBe(true);
    b.queue.push(2);
    await b.frame();
    b.calls[1]?.answer("two");
    b.calls[0]?.answer("late");
    await b.rest();
    expect(b.applied).toEqual(["two"]);
  });
  test("a drop before the frame sends nothing", async () => {
    const b = bench();
    b.queue.push(1);
    b.queue.drop();
    await b.frame();
    expect(b.calls).toHaveLength(0);
  });
  test("a failure is told and the next job goes on", async () => {
    const b = bench();
    b.queue.push(1);
    await b.frame();
    b.queue.push(2);
    b.calls[0]?.break(new Error("no"));
    await b.rest();
    expect(b.failed).toEqual(["Error: no"]);
    expect(b.calls.map((c) => c.job)).toEqual([1, 2]);
  });
  test("settled waits for the last answer", async () => {
    const b = bench();
    await b.queue.settled();
    b.queue.push(1);
    let done = false;
    void b.queue.settled().then(() => (done = true));
    await b.frame();
    expect(done).toBe(false);
    b.calls[0]?.answer("one");
    await b.rest();
    expect(done).toBe(true);
  });
});

test("saves stand in line, also behind one that failed", async () => {
  const line = new Line();
  const log: string[] = [];
  const one = line.run(async () => {
    await new Promise((r) => setTimeout(r, 5));
    log.push("one");
    throw new Error("no");
  });
  const two = line.run(async () => log.push("two"));
  await expect(one).rejects.toThrow("no");
  await two;
  expect(log).toEqual(["one", "two"]);
});

test("a later edit of a key replaces the earlier one", () => {
  const merged = mergeEdits(
    [
      { path: "a", text: "1" },
      { path: "b", text: "1" },
    ],
    [{ path: "a", text: "2" }],
  );
  expect(merged).toEqual([
    { path: "b", text: "1" },
    { path: "a", text: "2" },
  ]);
});
