import { describe, expect, test } from "vitest";
import {
  equivalent,
  fileText,
  onGrid,
  parseUnit,
  readList,
  readQuantity,
  unitOf,
  writeList,
  writeQuantity,
} from "./quantity";

const length = { kind: "quantity" as const, units: ["mm", "cm", "m", "in"] };
const speed = { kind: "quantity" as const, units: ["rpm", "1/min", "rad/s", "Hz"] };
const inertia = { kind: "quantity" as const, units: ["kg m2", "kg cm2", "lb in2"] };
const ratio = { kind: "quantity" as const };
const count = { kind: "count" as const };

describe("reading what is typed", () => {
  test("inches in a millimetre field go on as typed, with what they come to", () => {
    const r = readQuantity("3.5 in", length);
    expect(r.text).toBe("3.5 in");
    expect(r.si).toBeCloseTo(0.0889, 12);
    expect(equivalent("3.5 in", length)).toBe("88.9 mm");
  });
  test("a bare number gets the usual unit", () => {
    expect(readQuantity("84", length)).toEqual({ text: "84 mm", si: 0.084 });
    expect(equivalent("84", length)).toBe("84 mm");
  });
  test("the same in the usual unit says nothing new", () => {
    expect(equivalent("84 mm", length)).toBe("");
  });
  test.each([
    ["1.2e2 mm", 0.12],
    ["−3 mm", -0.003],
    [".5 cm", 0.005],
    ["+2mm", 0.002],
  ])("%s", (text, si) => {
    expect(readQuantity(text, length).si).toBeCloseTo(si, 12);
  });
  test("speeds, also as a frequency of turns", () => {
    expect(readQuantity("6000 rpm", speed).si).toBeCloseTo(200 * Math.PI, 9);
    expect(readQuantity("6000 1/min", speed).si).toBeCloseTo(200 * Math.PI, 9);
    expect(readQuantity("100 Hz", speed).si).toBeCloseTo(200 * Math.PI, 9);
  });
  test("compounds", () => {
    expect(readQuantity("18 kg cm2", inertia).si).toBeCloseTo(0.0018, 12);
    expect(readQuantity("1 kg·m²", inertia).si).toBeCloseTo(1, 12);
    expect(parseUnit("kg parsec")).toBeNull();
    expect(parseUnit("m/s/s")).toBeNull();
  });
  test("what does not fit says what does", () => {
    expect(readQuantity("12 kg", length).wrong).toBe(
      "“kg” does not fit here; takes mm, cm, m or in.",
    );
    expect(readQuantity("12 furlong", length).wrong).toContain("Unknown unit");
    expect(readQuantity("1,5 mm", length).wrong).toBe("Write a decimal point, not a comma.");
    expect(readQuantity("wide", length).wrong).toContain("not a number");
    expect(readQuantity("", length).wrong).toBeTruthy();
  });
  test("counts and ratios have no unit", () => {
    expect(readQuantity("8", count).si).toBe(8);
    expect(readQuantity("8.5", count).wrong).toBeTruthy();
    expect(readQuantity("10.5", ratio)).toEqual({ text: "10.5", si: 10.5 });
    expect(readQuantity("10.5 mm", ratio).wrong).toBeTruthy();
  });
});

test("writing keeps the unit that the field was written in", () => {
  expect(unitOf({ text: "2.6 in", units: length.units })).toBe("in");
  expect(unitOf({ text: "", units: length.units })).toBe("mm");
  expect(writeQuantity(0.06604, "in")).toBe("2.6 in");
  expect(writeQuantity((6000 * 2 * Math.PI) / 60, "rpm")).toBe("6000 rpm");
  expect(writeQuantity(0, "mm")).toBe("0 mm");
  expect(writeQuantity(0.1 + 0.2, "1")).toBe("0.3");
});

test("a slider stays on its grid and inside its ends", () => {
  const f = { least: 0.02, most: 0.2, step: 0.0005 };
  expect(onGrid(0.08431, f)).toBeCloseTo(0.0845, 9);
  expect(onGrid(9, f)).toBe(0.2);
  expect(onGrid(-9, f)).toBe(0.02);
});

test("lists with a unit behind them", () => {
  expect(readList("[0, 90, 270, 180] deg")).toEqual({
    items: ["0", "90", "270", "180"],
    unit: "deg",
  });
  expect(readList("[]")).toEqual({ items: [], unit: "" });
  expect(readList("cross-plane")).toBeNull();
  expect(writeList(["0", "180"], "deg")).toBe("[0, 180] deg");
});

test("texts are quoted where YAML would read them otherwise", () => {
  const text = { kind: "text" as const, path: "name" };
  expect(fileText("Vee eight 90°, cross-plane", text)).toBe("Vee eight 90°, cross-plane");
  expect(fileText("Eight: cross", text)).toBe('"Eight: cross"');
  expect(fileText("# one", text)).toBe('"# one"');
  expect(fileText("180", text)).toBe('"180"');
  const order = { kind: "list" as const, path: "layout.firing_order" };
  expect(fileText("1-3-4-2", order)).toBe("[1, 3, 4, 2]");
  expect(fileText("[1, 3, 4, 2]", order)).toBe("[1, 3, 4, 2]");
});

test("a list of things with parts of their own is not taken apart", () => {
  expect(readList("[{at: 0 mm, angle: 0 deg}, {at: 1 mm}]")).toBeNull();
  expect(readList("[[1, 2], [3, 4]]")).toBeNull();
  expect(readList("{balance_factor: 50 %}")).toBeNull();
});
