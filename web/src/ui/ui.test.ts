import { expect, test } from "vitest";
import { passes, precise, verdictOf } from "../evidence/verdict";
import { offlinePage } from "../offline/page";
import { difference, shown, withUnit } from "./numbers";
import { fileName, toCsv } from "./save";

test("numbers as people read them", () => {
  expect([0, 8713.4, 12345.6, 0.88888, 270, -6.974, 1e-6, 3.2e8].map((v) => shown(v))).toEqual([
    "0",
    "8713",
    "12\u202f346",
    "0.8889",
    "270",
    "−6.974",
    "1e−6",
    "3.2e8",
  ]);
  expect(withUnit(90, "deg")).toBe("90°");
  expect(difference(3, "N")).toBe("+3\u00a0N");
  expect(precise(-0.0000236709813)).toBe("−0.0000236709813");
});

test("CSV quotes what it must", () => {
  expect(toCsv([["a", 'say "x"', "1,5", 2]])).toBe('a,"say ""x""","1,5",2\r\n');
});

test("file names that every system takes", () => {
  expect(fileName("Vee eight 90°, cross-plane")).toBe("vee-eight-90-cross-plane");
});

test("verdicts and filters of the evidence", () => {
  const check = {
    id: "a/b",
    chapter: "motion",
    kind: "published",
    what: "free force of order 2",
    unit: "N",
    printed: "12.5",
    expected: 12.5,
    ours: 12.5,
    gap: 0,
    tolerance: 0.05,
    source: "BOSCH",
    seen: "read",
    ok: true,
  };
  expect(verdictOf(check)).toBe("agrees");
  expect(verdictOf({ ...check, disagrees: "misprint" })).toBe("corrected");
  expect(verdictOf({ ...check, ok: false })).toBe("fails");
  const all = { find: "", chapter: "", kind: "", state: "" };
  expect(passes(check, { ...all, find: "bosch 12.5" })).toBe(true);
  expect(passes(check, { ...all, find: "bosch 13" })).toBe(false);
  expect(passes(check, { ...all, state: "fails" })).toBe(false);
});

test("nothing in the data ends the script of the page that is taken away", () => {
  const page = offlinePage(
    {
      version: 1,
      title: "</script><b>",
      made: "",
      angle: 0,
      pace: 4,
      drawn: {
        orders: "all",
        resultant: true,
        couple: false,
        parts: false,
        trace: true,
        flashes: true,
      },
      engines: [],
      rows: [],
      caution: "</script>",
    },
    'const a = "</script>";',
  );
  expect(page.match(/<\/script>/g)).toHaveLength(2);
  expect(page).not.toMatch(/https?:/);
});
