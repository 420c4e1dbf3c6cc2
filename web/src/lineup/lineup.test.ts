import { describe, expect, test } from "vitest";
import type { ComparedRow, EngineEntry, EstimateDoc } from "../api/types";
import { firstChoice, moved } from "./choose";
import { grouped, orderOf, restsOn, scaleKey } from "./rows";

const engine = (
  file: string,
  arrangement: string,
  cylinders: number,
  problems = 0,
): EngineEntry => ({
  file,
  etag: file,
  name: file,
  arrangement,
  cylinders,
  problems,
});

describe("the first choice", () => {
  test("a small folder is shown whole, less what is broken", () => {
    const few = [engine("a", "inline", 4), engine("b", "vee", 8, 2), engine("c", "vee", 6)];
    expect(firstChoice(few)).toEqual(["a", "c"]);
    expect(firstChoice([])).toEqual([]);
  });

  test("engines of the size that most share, one arrangement after the other", () => {
    const many = [
      engine("i4a", "inline", 4),
      engine("i4b", "inline", 4),
      engine("i6", "inline", 6),
      engine("v4", "vee", 4),
      engine("o4", "opposed", 4),
      engine("v8", "vee", 8),
    ];
    expect(firstChoice(many)).toEqual(["i4a", "v4", "o4", "i4b"]);
  });
});

test("moving a column stays within the line-up", () => {
  expect(moved(["a", "b", "c"], 0, 1)).toEqual(["b", "a", "c"]);
  expect(moved(["a", "b", "c"], 0, -1)).toEqual(["a", "b", "c"]);
});

const row = (key: string, unit: string, values: number[]): ComparedRow => ({
  key,
  name: key,
  unit,
  better: "less",
  values,
  best: [],
  worst: [],
});

test("rows stand in groups, with one scale for each unit and one for each plain number", () => {
  const g = grouped([
    row("free_force_order_1", "N", [10, 20]),
    row("peak_free_force", "N", [50, 5]),
    row("firing_evenness", "1", [1, 0.5]),
    row("neighbours_in_succession", "1", [4, 0]),
    row("something_new", "kg", [3]),
  ]);
  expect(g.map((x) => x.name)).toEqual(["Free force", "Firing", "More"]);
  expect(g[0]?.scale.get("N")).toBe(50);
  expect(g[1]?.scale.get(scaleKey(row("firing_evenness", "1", [])))).toBe(1);
  expect(g[1]?.scale.get("neighbours_in_succession")).toBe(4);
});

test("the rows of torque stand together, those of inertia and roll beside them", () => {
  const g = grouped([
    row("peak_inertia_torque", "N m", [30]),
    row("peak_roll_moment", "N m", [30]),
    ...["mean_torque", "brake_torque", "brake_power", "peak_torque", "torque_unevenness"].map((k) =>
      row(k, "N m", [100]),
    ),
    ...["inertia_share", "impulses", "friction_mep", "speed_fluctuation", "flywheel_inertia"].map(
      (k) => row(k, "1", [2]),
    ),
  ]);
  expect(g.map((x) => [x.name, x.rows.length])).toEqual([
    ["Torque", 10],
    ["Inertia torque and roll", 2],
  ]);
  expect(g[0]?.rows[0]?.key).toBe("mean_torque");
});

test("the order that a figure is about", () => {
  expect(orderOf("free_moment_order_2")).toEqual({ of: "moment", order: 2 });
  expect(orderOf("free_force_order_0.5")?.order).toBe(0.5);
  expect(orderOf("peak_free_force")).toBeUndefined();
});

test("figures name the estimates that they rest on", () => {
  const estimates = [
    "piston.mass",
    "crank.throw_unbalance",
    "crank.web.width",
    "speeds.rated",
    "layout.cylinder_spacing",
  ].map((key): EstimateDoc => ({ key, value: 1, unit: "1", shown: "", rule: "", source: "" }));
  const keys = (figure: string, common = false) =>
    restsOn(figure, estimates, common).map((e) => e.key);
  expect(keys("firing_evenness")).toEqual([]);
  expect(keys("free_force_order_2")).toEqual(["piston.mass", "speeds.rated"]);
  expect(keys("free_force_order_1", true)).toEqual(["piston.mass", "crank.throw_unbalance"]);
  expect(keys("free_moment_order_2", true)).toEqual(["piston.mass", "layout.cylinder_spacing"]);
  expect(keys("force_order_1_against_crank", true)).toEqual(["piston.mass"]);
  expect(keys("mean_piston_speed", true)).toEqual([]);
});

test("figures of torque rest on what the file leaves out of gas, friction and what turns", () => {
  const estimates = [
    "piston.mass",
    "gas.burn_duration",
    "gas.ignition",
    "friction.factor",
    "crank.inertia",
    "flywheel.driven_inertia",
    "flywheel.fluctuation",
    "flywheel.density",
  ].map((key): EstimateDoc => ({ key, value: 1, unit: "1", shown: "", rule: "", source: "" }));
  const keys = (figure: string) => restsOn(figure, estimates, true).map((e) => e.key);
  expect(keys("mean_torque")).toEqual(["gas.burn_duration", "gas.ignition"]);
  expect(keys("brake_power")).toEqual(["gas.burn_duration", "gas.ignition", "friction.factor"]);
  expect(keys("friction_mep")).toEqual(["gas.ignition", "friction.factor"]);
  expect(keys("peak_torque")).toEqual(["piston.mass", "gas.burn_duration", "gas.ignition"]);
  expect(keys("speed_fluctuation")).toEqual([
    "piston.mass",
    "gas.burn_duration",
    "gas.ignition",
    "crank.inertia",
    "flywheel.driven_inertia",
  ]);
  expect(keys("flywheel_inertia")).toContain("flywheel.fluctuation");
  expect(keys("flywheel_inertia")).not.toContain("flywheel.density");
  expect(keys("peak_inertia_torque")).toEqual(["piston.mass"]);
});
