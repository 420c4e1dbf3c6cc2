import type { Geometry, Result } from "../kin";

/** What a picture of an engine shows, for readers who do not see it. */
export function describe(g: Geometry, r: Result, notes: readonly string[]): string {
  const n = g.cylinders.length;
  const banks = new Set(g.cylinders.map((c) => c.bank)).size;
  const parts = [
    `${r.name}: crank train in three dimensions`,
    `${n} ${n === 1 ? "cylinder" : "cylinders"}${banks > 1 ? ` in ${banks} banks` : ""}, ${g.throws.length} ${g.throws.length === 1 ? "throw" : "throws"}`,
  ];
  if (g.shafts.length > 0)
    parts.push(`${g.shafts.length} balance ${g.shafts.length === 1 ? "shaft" : "shafts"}`);
  const { peak_force_N: f, peak_moment_Nm: m } = r.balance;
  parts.push(
    `at ${Math.round(r.speed_rpm)} rpm the largest free force is ${round(f)} N and the largest free moment ${round(m)} N m`,
  );
  return [`${parts.join("; ")}.`, ...notes].join(" ");
}

const round = (v: number): string => String(Number(v.toPrecision(3)));
