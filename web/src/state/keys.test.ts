import { expect, test } from "vitest";
import { wait } from "./backoff";
import { nameOf } from "./keys.svelte";

const plain = { ctrlKey: false, metaKey: false, altKey: false, shiftKey: false };

test("names of key presses", () => {
  expect(nameOf({ ...plain, key: " " })).toBe("Space");
  expect(nameOf({ ...plain, key: "?", shiftKey: true })).toBe("?");
  expect(nameOf({ ...plain, key: "ArrowRight", shiftKey: true })).toBe("Shift+ArrowRight");
  expect(nameOf({ ...plain, key: "Z", ctrlKey: true, shiftKey: true })).toBe("Ctrl+Shift+z");
  expect(nameOf({ ...plain, key: "z", metaKey: true })).toBe("Ctrl+z");
});

test("new tries wait longer and longer, up to ten seconds", () => {
  expect([1, 2, 3, 4, 5, 6, 20].map(wait)).toEqual([500, 1000, 2000, 4000, 8000, 10000, 10000]);
});
