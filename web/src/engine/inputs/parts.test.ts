import { expect, test } from "vitest";
import type { Field } from "../../api/types";
import { partsOf } from "./parts";

const f = (path: string, text: string, more: Partial<Field> = {}): Field => ({
  path,
  label: path,
  chapter: "layout",
  kind:
    path.endsWith("]") || /(throws|cylinders|shafts|masses|counterweights|pins)$/.test(path)
      ? "list"
      : "quantity",
  text,
  given: text !== "",
  ...more,
});

test("a shaft is added where there is none, and taken out whole where it is the only one", () => {
  const none = [f("balance_shafts", "")];
  expect(partsOf(none[0]!, none)).toMatchObject({
    noun: "balance shaft",
    items: [],
    add: [{ path: "balance_shafts[0]" }],
  });
  const only = [
    f("balance_shafts", "[{speed_ratio: 2}]"),
    f("balance_shafts[0].speed_ratio", "2"),
    f("balance_shafts[0].masses", "[]"),
  ];
  expect(partsOf(only[0]!, only)?.items).toEqual([
    { name: "1", remove: [{ path: "balance_shafts" }] },
  ]);
  expect(partsOf(only[2]!, only)?.add?.[0]).toEqual({
    path: "balance_shafts[0].masses[0]",
    text: "{at: 0 mm, angle: 0 deg, unbalance: 0 kg mm}",
  });
});

test("a new throw stands one step farther and bears the next name", () => {
  const fields = [
    f("layout.throws", "[{}, {}]"),
    f("layout.throws[0].name", "A", { kind: "text" }),
    f("layout.throws[0].at", "-58 mm", { value: -0.058 }),
    f("layout.throws[1].name", "B", { kind: "text" }),
    f("layout.throws[1].at", "58 mm", { value: 0.058 }),
    f("layout.throws[1].angle", "77 deg"),
    f("layout.throws[1].radius", "45 mm"),
    f("layout.throws[1].unbalance", ""),
  ];
  const p = partsOf(fields[0]!, fields);
  expect(p?.items.map((i) => i.name)).toEqual(["A", "B"]);
  expect(p?.items[1]?.remove).toEqual([{ path: "layout.throws[1]" }]);
  expect(p?.add).toEqual([
    { path: "layout.throws[2]", text: '{name: "C", at: 174 mm, angle: 77 deg, radius: 45 mm}' },
  ]);
});

test("a cylinder keeps its throw and axis; names go on counting", () => {
  const fields = [
    f("layout.cylinders", "[{}]"),
    f("layout.cylinders[0].name", "L9", { kind: "text" }),
    f("layout.cylinders[0].throw", "A", { kind: "text" }),
    f("layout.cylinders[0].at", "0 mm", { value: 0 }),
    f("layout.cylinders[0].axis", "-20 deg"),
    f("layout.cylinders[0].fires_at", "343 deg"),
  ];
  expect(partsOf(fields[0]!, fields)?.add?.[0]?.text).toBe(
    '{name: "L10", throw: A, at: 100 mm, axis: -20 deg, fires_at: 343 deg}',
  );
});

test("a rule in the place of a list, a plain list and a number of cylinders are no parts", () => {
  for (const field of [
    f("crank.counterweights", "{balance_factor: 50 %}"),
    f("layout.pins", "[0, 90] deg"),
    f("layout.cylinders", "8", { kind: "count" }),
  ])
    expect(partsOf(field, [field])).toBeUndefined();
});
