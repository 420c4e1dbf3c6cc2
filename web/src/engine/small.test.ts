import { expect, test } from "vitest";
import type { EngineDocument, OrderDoc } from "../api/types";
import { diffLines } from "./diff";
import { firesAtEdits, orderEdit } from "./even";
import { chaptersOf, estimatedWords, fieldId } from "./inputs/chapters";
import { cell, change, degrees, digits, niceAbove, quantity } from "./numbers";
import { ordersOffered, ordersShown } from "./orders";
import { at, ordinal, rotate, shortName, starsOf } from "./phasors";
import { couple, force } from "../kin";

const order = (n: number, w: number[], a: number[], major: number): OrderDoc => ({
  order: n,
  force: { with_crank_N: w, against_crank_N: a, major_N: major, minor_N: 0, axis_deg: 90 },
  moment: {
    with_crank_Nm: [0, 0],
    against_crank_Nm: [0, 0],
    major_Nm: 0,
    minor_Nm: 0,
    axis_deg: 0,
  },
  roll_Nm: [0, 0],
  inertia_torque_Nm: [0, 0],
});

test("numbers as people read them", () => {
  expect(digits(193.968)).toBe("194");
  expect(digits(1.5517, 4)).toBe("1.552");
  expect(digits(0)).toBe("0");
  expect(digits(-0.5)).toBe("−0.5");
  expect(quantity(40930, "N")).toBe("40.9\u00a0kN");
  expect(quantity(9999, "N", 4)).toBe("9999\u00a0N");
  expect(quantity(1e-6, "N")).toBe("<\u00a00.001\u00a0N");
  expect(quantity(90, "deg")).toBe("90°");
  expect(cell(1e-9)).toBe("<\u00a00.001");
  expect(degrees(-0.01)).toBe("0°");
  expect(change(200, 150, "N")).toBe("+50\u00a0N");
  expect(change(150, 150, "N")).toBe("");
  expect(change(0.8, 1, "1")).toBe("−0.2");
  expect(niceAbove(193)).toBe(200);
  expect(niceAbove(0)).toBe(1);
  expect([1, 2, 3, 4, 0.5, 11, 12].map(ordinal)).toEqual([
    "1st",
    "2nd",
    "3rd",
    "4th",
    "0.5th",
    "11th",
    "12th",
  ]);
});

test("the two parts of an order turn opposite ways, as src/kin has it", () => {
  const o = order(2, [3, 4], [1, -2], 7);
  const doc = {
    name: "",
    speed_rpm: 1000,
    rotation: "anticlockwise" as const,
    balance: { reference_mm: 0, orders: [o], peak_force_N: 1, peak_moment_Nm: 1 },
  };
  for (const deg of [0, 33, 200]) {
    const mine = at({ with: { y: 3, z: 4 }, against: { y: 1, z: -2 } }, 2, deg);
    const theirs = force(doc, deg).sum;
    expect(mine.y).toBeCloseTo(theirs.y, 9);
    expect(mine.z).toBeCloseTo(theirs.z, 9);
  }
  expect(rotate({ y: 1, z: 0 }, 90).z).toBeCloseTo(1, 12);
  expect(couple({ y: 0, z: 2 }, 2).y).toBe(1);
});

test("arrows that lie on each other are one, those of one direction stand beside each other", () => {
  const part = (name: string, kind: "cylinder" | "throw", w: number[]) => ({
    part: name,
    kind,
    at_mm: 0,
    force_with_crank_N: w,
    force_against_crank_N: [0, 0],
    moment_with_crank_Nm: [0, 0],
    moment_against_crank_Nm: [0, 0],
    roll_Nm: [0, 0],
    inertia_torque_Nm: [0, 0],
  });
  const o: OrderDoc = {
    ...order(1, [0, 0], [0, 0], 0),
    contributions: [
      part("cylinder 1", "cylinder", [0, 10]),
      part("cylinder 4", "cylinder", [0, 10.01]),
      part("cylinder 2", "cylinder", [0, -10]),
      part("throw T1", "throw", [0, 20]),
    ],
  };
  const s = starsOf(o, "force");
  expect(s.with.arrows.map((a) => a.names.join(" "))).toEqual(["1 4", "2", "T1"]);
  expect(s.with.arrows.map((a) => Math.abs(a.aside))).toEqual([1, 0, 0]);
  expect(s.with.longest).toBe(20);
  expect(s.against.arrows).toHaveLength(0);
  expect(shortName({ part: "counterweight 3", kind: "counterweight" })).toBe("W3");
});

test("orders that are offered and shown", () => {
  const doc = {
    balance: {
      orders: [order(4, [0, 1], [0, 1], 2), order(9, [0, 0], [0, 0], 1e-9)],
      peak_force_N: 2,
      peak_moment_Nm: 0,
    },
  } as unknown as EngineDocument;
  expect(ordersOffered(doc, [0.5])).toEqual([0.5, 1, 2, 4, 6]);
  expect(ordersShown(doc, [])).toEqual([1, 2, 4]);
  expect(ordersShown(doc, [6, 2])).toEqual([2, 6]);
});

test("firing orders with names that are not numbers are quoted", () => {
  expect(orderEdit(["1", "3"])).toEqual([{ path: "layout.firing_order", text: "[1, 3]" }]);
  expect(orderEdit(["A1"])).toEqual([{ path: "layout.firing_order", text: '["A1"]' }]);
});

test("the lines in which two texts differ", () => {
  const rows = diffLines("a\nb\nc\nd", "a\nb\nx\nd");
  expect(rows.filter((r) => r.kind !== "both")).toEqual([
    { kind: "theirs", text: "c" },
    { kind: "mine", text: "x" },
  ]);
  expect(diffLines("a", "a")).toEqual([]);
});

test("chapters keep the order of the fields, and finding looks at names and keys", () => {
  const f = (path: string, label: string, chapter: string) => ({
    path,
    label,
    chapter,
    kind: "quantity" as const,
    text: "",
    given: false,
  });
  const fields = [f("bore", "Bore", "engine"), f("rod.length", "Rod length", "rod-piston")];
  expect(chaptersOf(fields, "").map((c) => c.title)).toEqual(["Engine", "Rod and piston"]);
  expect(chaptersOf(fields, "rod len").flatMap((c) => c.fields.map((x) => x.path))).toEqual([
    "rod.length",
  ]);
  expect(fieldId("layout.pins[1]")).toBe("field-layout-pins-1-");
});

test("what is estimated is counted as the result counts it, and what the chapters after it take beside that", () => {
  const f = (path: string, given: boolean, rule?: string) => ({
    path,
    label: "",
    chapter: "",
    kind: "quantity" as const,
    text: "1",
    given,
    ...(rule ? { rule } : {}),
  });
  const fields = [
    f("bore", true),
    f("rod.mass", false, "a"),
    f("gas.loss", false, "b"),
    f("x", false),
  ];
  const ofTrain = [{ key: "rod.mass", value: 1, unit: "kg", shown: "1 kg", rule: "a", source: "" }];
  expect(estimatedWords(fields, ofTrain)).toBe(
    "estimated: 1 of the crank train, 1 of the chapters after it",
  );
  expect(estimatedWords(fields, undefined)).toBe("estimated: 2");
});

test("a custom engine takes a firing order as the angles at which its cylinders fire", () => {
  const name = (i: number, text: string) => ({
    path: `layout.cylinders[${i}].name`,
    label: "",
    chapter: "layout",
    kind: "text" as const,
    text,
    given: true,
  });
  const doc = {
    cycle: "four-stroke",
    cylinders: [
      { name: "1", fires_at_deg: 341.8916 },
      { name: "2", fires_at_deg: 305.8537 },
    ],
  } as unknown as EngineDocument;
  expect(
    firesAtEdits(doc, [name(0, "1"), name(1, '"2"')], {
      order: ["1", "2"],
      intervals_deg: [323.962, 396.038],
    }),
  ).toEqual([
    { path: "layout.cylinders[0].fires_at", text: "341.892 deg" },
    { path: "layout.cylinders[1].fires_at", text: "665.854 deg" },
  ]);
});
