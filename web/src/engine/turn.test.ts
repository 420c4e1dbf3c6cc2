import { describe, expect, test } from "vitest";
import type { Field, Geometry } from "../api/types";
import {
  angleAt,
  editsFor,
  handlesOf,
  keyStep,
  onScreen,
  signed,
  snap,
  turned,
  Turning,
  valueFor,
  wrap,
} from "./turn";

const cylinder = (name: string, bank: number, thrown: number, axis: number) => ({
  name,
  bank,
  throw: thrown,
  at_mm: 0,
  axis_deg: axis,
  offset_mm: 0,
  bore_offset_mm: 0,
  rod_mm: 111,
  linked: false,
  master: -1,
  knuckle_mm: 0,
  knuckle_deg: 0,
  crown_mm: 25,
  stroke_mm: 68,
  tdc_deg: 0,
  fires_at_deg: 0,
  reciprocating_kg: 0.3,
});
const thrown = (name: string, angle: number, pair: number) => ({
  name,
  at_mm: 0,
  angle_deg: angle,
  radius_mm: 34,
  pair,
});
const base: Geometry = {
  clockwise: false,
  cycle_deg: 720,
  bore_mm: 68,
  reference_mm: 0,
  throws: [thrown("T1", 0, 0), thrown("T2", 180, 1)],
  cylinders: [
    cylinder("1", 0, 0, -45),
    cylinder("2", 0, 1, -45),
    cylinder("3", 1, 0, 45),
    cylinder("4", 1, 1, 45),
  ],
  counterweights: [],
  shafts: [],
  main_journal: { diameter_mm: 50, width_mm: 20 },
  crankpin: { diameter_mm: 40, width_mm: 30 },
  web_thickness_mm: 16,
  web_width_mm: 70,
  flywheel_mm: 200,
  drawn_only: [],
};
const split: Geometry = {
  ...base,
  throws: [thrown("T1a", 0, 0), thrown("T1b", 330, 0), thrown("T2a", 120, 2), thrown("T2b", 90, 2)],
};
const pins = (text: string, given = true): Field => ({
  path: "layout.pins",
  label: "Throw angles",
  chapter: "layout",
  kind: "list",
  text,
  given,
});
const listed = [pins("[0, 180] deg")];

describe("angles on the screen", () => {
  const c = { x: 100, y: 100 };
  test("grow anticlockwise from the top, seen from the drive end", () => {
    expect(angleAt({ x: 100, y: 50 }, c, false)).toBe(0);
    expect(angleAt({ x: 50, y: 100 }, c, false)).toBe(90);
    expect(angleAt({ x: 100, y: 150 }, c, false)).toBe(180);
    expect(angleAt({ x: 150, y: 100 }, c, false)).toBe(270);
  });
  test("a clockwise engine is the mirror image", () => {
    expect(angleAt({ x: 150, y: 100 }, c, true)).toBe(90);
  });
  test.each([false, true])("the way there and back, clockwise %s", (clockwise) => {
    for (let a = 0; a < 360; a += 17) {
      const u = onScreen(a, clockwise);
      expect(angleAt({ x: 100 + 40 * u.x, y: 100 + 40 * u.y }, c, clockwise)).toBeCloseTo(a, 6);
    }
  });
  test("wrapping leaves no dust", () => {
    expect(wrap(-90)).toBe(270);
    expect(wrap(360 - 1e-12)).toBe(0);
    expect(signed(270)).toBe(-90);
    expect(signed(180)).toBe(180);
  });
});

describe("turning", () => {
  test("snaps to 1°, coarsely to 5°", () => {
    expect(snap(91.4, false)).toBe(91);
    expect(snap(91.4, true)).toBe(90);
    expect(Object.is(snap(-0.2, false), 0)).toBe(true);
  });
  test("follows the pointer past a whole turn without a jump", () => {
    const t = new Turning(350, 10);
    expect(t.to(20, false)).toBe(360);
    expect(t.to(100, false)).toBe(440);
    expect(t.to(190, false)).toBe(530);
    expect(t.to(300, false)).toBe(640);
    expect(t.to(10, false)).toBe(710);
  });
  test("takes the grip where it is: no jump at the start", () => {
    expect(new Turning(90, 93.7).to(93.7, false)).toBe(90);
  });
  test("keys", () => {
    expect(keyStep("ArrowRight", false)).toBe(1);
    expect(keyStep("ArrowDown", true)).toBe(-10);
    expect(keyStep("PageUp", false)).toBe(10);
    expect(keyStep("a", false)).toBeNull();
  });
});

describe("handles and their edits", () => {
  test("a vee has its throws and both banks", () => {
    const h = handlesOf(base, "vee", listed);
    expect(h.map((x) => x.id)).toEqual(["throw-0", "throw-1", "bank-0", "bank-2"]);
    expect(h[2]?.value).toBe(90);
  });
  test("an inline has no bank to turn, an opposed one neither", () => {
    expect(handlesOf(base, "inline", listed).some((h) => h.kind === "bank")).toBe(false);
    expect(handlesOf(base, "opposed", listed).some((h) => h.kind === "bank")).toBe(false);
  });
  test("a turned throw edits its own pin where the file lists them", () => {
    const [, t2] = handlesOf(base, "vee", listed);
    if (!t2) throw new Error("no handle");
    expect(editsFor(t2, 91, base, "vee", listed)).toEqual([{ path: "layout.pins[1]", text: "91" }]);
    expect(editsFor(t2, 91, base, "vee", [pins("[0 deg, 180 deg]")])).toEqual([
      { path: "layout.pins[1]", text: "91 deg" },
    ]);
  });
  test("and writes the list out where the file has a word or nothing", () => {
    const [, t2] = handlesOf(base, "vee", [pins("flat-plane")]);
    if (!t2) throw new Error("no handle");
    const whole = [{ path: "layout.pins", text: "[0, 91] deg" }];
    expect(editsFor(t2, 91, base, "vee", [pins("flat-plane")])).toEqual(whole);
    expect(editsFor(t2, 91, base, "vee", [pins("[0, 180] deg", false)])).toEqual(whole);
  });
  test("either bank of a vee sets the bank angle, towards the side it stands on", () => {
    const banks = handlesOf(base, "vee", listed).filter((h) => h.kind === "bank");
    const [right, left] = banks;
    if (!right || !left) throw new Error("no handle");
    expect(valueFor(right, 330, base, "vee")).toBe(60);
    expect(valueFor(left, 30, base, "vee")).toBe(60);
    expect(valueFor(left, -5, base, "vee")).toBe(1);
    expect(editsFor(left, 60, base, "vee", listed)).toEqual([
      { path: "layout.bank_angle", text: "60 deg" },
    ]);
  });
  test("the second pin of a split throw sets the split, the first the throw", () => {
    const h = handlesOf(split, "vee", [pins("[0, 120] deg")]);
    expect(h.map((x) => x.id)).toEqual([
      "throw-0",
      "split-1",
      "throw-2",
      "split-3",
      "bank-0",
      "bank-2",
    ]);
    const s = h[1];
    const t2 = h[2];
    if (!s || !t2) throw new Error("no handle");
    expect(s.value).toBe(30);
    expect(valueFor(s, 315, split, "vee")).toBe(45);
    expect(editsFor(s, 45, split, "vee", [])).toEqual([
      { path: "layout.pin_split", text: "45 deg" },
    ]);
    expect(editsFor(t2, 100, split, "vee", [pins("[0, 120] deg")])).toEqual([
      { path: "layout.pins[1]", text: "100" },
    ]);
  });
  test("a custom engine turns its own throws and axes", () => {
    const h = handlesOf(base, "custom", []);
    expect(h.map((x) => x.id)).toEqual(["throw-0", "throw-1", "bank-0", "bank-2"]);
    const [t1, , axis] = h;
    if (!t1 || !axis) throw new Error("no handle");
    expect(editsFor(t1, 7, base, "custom", [])).toEqual([
      { path: "layout.throws[0].angle", text: "7 deg" },
    ]);
    expect(editsFor(axis, -40, base, "custom", [])).toEqual([
      { path: "layout.cylinders[0].axis", text: "-40 deg" },
      { path: "layout.cylinders[1].axis", text: "-40 deg" },
    ]);
  });
});

describe("the drawing before the server answers", () => {
  test("a throw takes the pins split from it along", () => {
    const h = handlesOf(split, "vee", [pins("[0, 120] deg")])[0];
    if (!h) throw new Error("no handle");
    const g = turned(split, h, 10, "vee");
    expect(g.throws.map((t) => t.angle_deg)).toEqual([10, 340, 120, 90]);
  });
  test("a split moves all second pins", () => {
    const h = handlesOf(split, "vee", [pins("[0, 120] deg")])[1];
    if (!h) throw new Error("no handle");
    expect(turned(split, h, 60, "vee").throws.map((t) => t.angle_deg)).toEqual([0, 300, 120, 60]);
  });
  test("a bank angle opens both banks", () => {
    const h = handlesOf(base, "vee", listed).find((x) => x.kind === "bank");
    if (!h) throw new Error("no handle");
    expect(turned(base, h, 60, "vee").cylinders.map((c) => c.axis_deg)).toEqual([-30, -30, 30, 30]);
  });
});
