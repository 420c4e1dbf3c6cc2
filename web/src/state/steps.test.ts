import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { Steps } from "./steps.svelte";

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

describe("steps of what is not saved", () => {
  test("go back to the last change first, and forward again", () => {
    const s = new Steps<number>();
    s.note(0);
    s.note(1);
    expect(s.undo(2)).toBe(1);
    expect(s.undo(1)).toBe(0);
    expect(s.back).toBe(false);
    expect(s.undo(0)).toBe(0);
    expect(s.redo(0)).toBe(1);
    expect(s.redo(1)).toBe(2);
    expect(s.redo(2)).toBe(2);
  });
  test("a row of changes of one kind is one step until it rests", () => {
    const s = new Steps<number>();
    for (let i = 0; i < 5; i++) {
      s.note(i, "slider");
      vi.advanceTimersByTime(400);
    }
    s.note(5, "other");
    vi.advanceTimersByTime(1500);
    s.note(6, "other");
    expect(s.undo(7)).toBe(6);
    expect(s.undo(6)).toBe(5);
    expect(s.undo(5)).toBe(0);
    expect(s.back).toBe(false);
  });
  test("a change after an undo is no more of the row that was undone", () => {
    const s = new Steps<string>();
    s.note("", "text");
    expect(s.undo("a")).toBe("");
    s.note("", "text");
    expect(s.forth).toBe(false);
    expect(s.undo("b")).toBe("");
  });
  test("nothing is left once it is saved", () => {
    const s = new Steps<number>();
    s.note(0);
    s.undo(1);
    s.note(0);
    s.clear();
    expect([s.back, s.forth]).toEqual([false, false]);
  });
});
