import type { MountDoc, MountModeDoc, MountsDoc, PersonPointDoc } from "../../api/types";
import type { Tool } from "../balance/tool.svelte";
import type { Paint } from "../drive/XYPlot.svelte";
import { degrees, digits } from "../numbers";
import type { SectionProps } from "../sections";

/** What a tool of the section on mounts and people is given. */
export interface MountsProps extends Pick<SectionProps, "session" | "view" | "doc"> {
  /** The engine on its mounts, asked once for all tools. */
  tool: Tool<object, MountsDoc>;
  /** It is looked at, and the engine can be evaluated. */
  active: boolean;
  /** Brake torque over that of full load [%]. */
  load: number;
  /** Cylinders that are switched off, besides those of the file. */
  off: string[];
}

/** Along the crank to the drive end, to the right seen from there, and up [mm]. */
export type Place = readonly [x: number, y: number, z: number];

/** Three numbers of the API. */
export function placeOf(v: readonly number[]): Place {
  return [v[0] ?? 0, v[1] ?? 0, v[2] ?? 0];
}

/** The freedoms in the order of a mode's shares, with the colours of their bars. */
export const freedoms: readonly { name: string; paint: Paint }[] = [
  { name: "fore-aft", paint: "soft" },
  { name: "lateral", paint: "third" },
  { name: "bounce", paint: "with" },
  { name: "roll", paint: "against" },
  { name: "pitch", paint: "fourth" },
  { name: "yaw", paint: "ink" },
];

/** Paints and dashes of lines, one pair after the other. */
export function pen(i: number): { paint: Paint; dash?: string } {
  const paints = ["with", "against", "third", "fourth", "soft"] as const;
  const dashes = ["", "8 4", "2 3", "12 4"] as const;
  const dash = dashes[Math.floor(i / paints.length) % dashes.length];
  return { paint: paints[i % paints.length] ?? "soft", ...(dash ? { dash } : {}) };
}

/** Where a point of a body is drawn that swings in a mode, f times the shape that the API gives. */
export function swung(
  p: Place,
  centre: Place,
  mode: Pick<MountModeDoc, "move_mm" | "turn_deg">,
  f: number,
): Place {
  const [mx, my, mz] = placeOf(mode.move_mm);
  const [wx, wy, wz] = placeOf(mode.turn_deg.map((v) => (v * Math.PI) / 180));
  const [x, y, z] = [p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]];
  return [
    p[0] + f * (mx + wy * z - wz * y),
    p[1] + f * (my + wz * x - wx * z),
    p[2] + f * (mz + wx * y - wy * x),
  ];
}

/** Half the edges of the even block that has a body's mass and moments of inertia [mm]: how it is drawn. */
export function blockOf(body: { mass_kg: number; inertia_kgm2: readonly number[][] }): Place {
  const [x, y, z] = [0, 1, 2].map((i) => body.inertia_kgm2[i]?.[i] ?? 0) as [
    number,
    number,
    number,
  ];
  const half = (a: number, b: number, own: number): number =>
    500 * Math.sqrt(Math.max(0, (6 * (a + b - own)) / body.mass_kg));
  return [half(y, z, x), half(z, x, y), half(x, y, z)];
}

/** The body that stands on the mounts: engine and gearbox together where there is one. */
export function standing(d: Pick<MountsDoc, "bodies">): MountsDoc["bodies"][number] | undefined {
  return d.bodies.at(-1);
}

/** The worst of what is felt at the three speeds, for words. */
export function verdict(p: Pick<PersonPointDoc, "idle" | "rated" | "worst">): string {
  const all = [p.idle.over, p.rated.over, p.worst.over];
  if (all.includes("limit")) return "above the limit value";
  return all.includes("action") ? "above the action value" : "below the action value";
}

/** The value felt at which a day reaches a level of A(8): they keep the proportion that the API has between them. */
export function levelOf(p: Pick<PersonPointDoc, "rated" | "worst">, a8: number): number {
  const v = p.worst.daily_ms2 > 0 ? p.worst : p.rated;
  return v.daily_ms2 > 0 ? (a8 * v.value_ms2) / v.daily_ms2 : a8;
}

/** A share in percent, without digits of what is next to nothing. */
export function percent(v: number): string {
  return v < 0.05 ? "<\u00a00.1" : v.toFixed(1);
}

/** A weighted value; what nobody could feel does not pretend to digits. */
export function felt(v: number): string {
  return v > 0 && v < 1e-3 ? "<\u00a00.001" : digits(v);
}

/** Hours a day until a value is reached; the API counts to 24. */
export function hours(h: number): string {
  if (h >= 24) return "all day";
  return h < 1 ? `${Math.round(60 * h)}\u00a0min` : `${h.toFixed(1)}\u00a0h`;
}

/** Three numbers as a cell of a table. */
export function three(v: readonly number[]): string {
  return v.map((x) => digits(x)).join(", ");
}

/** Columns of a table of mounts. */
export const mountColumns: {
  head: string;
  text: (m: MountDoc) => string;
  names?: boolean;
  numeric?: boolean;
}[] = [
  { head: "Mount", text: (m) => m.name, names: true },
  { head: "x, y, z [mm]", text: (m) => three(m.at_mm), numeric: true },
  { head: "Lean", text: (m) => degrees(m.lean_deg), numeric: true },
  { head: "Stiffness [N/mm]", text: (m) => three(m.stiffness_N_per_mm), numeric: true },
  { head: "Loss factor", text: (m) => digits(m.loss_factor_1), numeric: true },
  { head: "Sag [mm]", text: (m) => three(m.sag_mm), numeric: true },
];

/** What people: points may look like, as it stands in a file. */
export const peopleExample = `people:
  exposure: 6 h
  points:
    - {name: helm seat, felt_by: seat, on: structure, at: 900 mm, y: 0 mm, z: 300 mm, mass: 900 kg}
    - {name: deck, felt_by: feet, on: structure, at: 1200 mm, y: 300 mm, z: 100 mm, mobility: 0.0002 m/N s}
    - {name: hand lever, felt_by: hand, on: engine, at: 100 mm, y: 200 mm, z: 250 mm}`;
