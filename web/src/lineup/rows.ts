import type { ComparedRow, EngineDocument, EstimateDoc } from "../api/types";

// How the compared figures stand on the page: in groups, with bars on one scale for each unit of a
// group, and with the estimates that they rest on.

export interface Group {
  name: string;
  rows: ComparedRow[];
  /** Largest value on each scale of the group: full length of its bars. */
  scale: Map<string, number>;
}

const groups: [string, RegExp][] = [
  ["Free force", /^(free_force|peak_free_force|force_order)/],
  ["Free moment", /^(free_moment|peak_free_moment|moment_order)/],
  [
    "Torque",
    /^(mean_torque|brake_|peak_torque|torque_unevenness|inertia_share|impulses|friction_mep|speed_fluctuation|flywheel)/,
  ],
  ["Mounts and people", /^(mount_force|idle_separation|roll_decoupling|exposure_)/],
  [
    "Parts and cost",
    /^(part_count|heads$|camshaft|main_bearings|machined_faces|exhaust_length|cost_index|hottest_place|service_score)/,
  ],
  ["Inertia torque and roll", /(torque|roll)/],
  ["Firing", /(firing|succession|beat|exhaust)/],
  ["Room and mass", /^(length|width|height|dry_mass|centre_height|bank_width)$/],
  ["Size and speed", /^(displacement|mean_piston_speed)/],
];

/** The rows in groups; what no group claims comes last. */
export function grouped(rows: ComparedRow[]): Group[] {
  const out = groups.map(([name]) => ({ name, rows: [] as ComparedRow[] }));
  const rest = { name: "More", rows: [] as ComparedRow[] };
  for (const row of rows) {
    const at = groups.findIndex(([, pattern]) => pattern.test(row.key));
    (out[at] ?? rest).rows.push(row);
  }
  return [...out, rest]
    .filter((g) => g.rows.length > 0)
    .map((g) => {
      const scale = new Map<string, number>();
      for (const row of g.rows)
        for (const v of row.values)
          scale.set(scaleKey(row), Math.max(scale.get(scaleKey(row)) ?? 0, Math.abs(v)));
      return { ...g, scale };
    });
}

/** Which scale the bars of a row are on: one for each unit; plain numbers have each their own. */
export function scaleKey(row: ComparedRow): string {
  return row.unit === "1" ? row.key : row.unit;
}

/** The order that a figure is about, and of what; undefined: of no single order. */
export function orderOf(key: string): { of: "force" | "moment"; order: number } | undefined {
  const m = /^free_(force|moment)_order_([\d.]+)$/.exec(key);
  return m ? { of: m[1] as "force" | "moment", order: Number(m[2]) } : undefined;
}

/** Shape of an order's ellipse. */
export interface Shape {
  word: "nothing" | "line" | "ellipse" | "circle";
  /** Shorter over longer semi-axis. */
  ratio: number;
  /** Direction of the longer semi-axis from +y about +x [deg]. */
  axisDeg: number;
}

/** The ellipse of one order of a document. */
export function shapeOf(
  doc: EngineDocument | undefined,
  of: "force" | "moment",
  order: number,
): Shape {
  const found = doc?.balance.orders.find((o) => o.order === order);
  const major = found ? (of === "force" ? found.force.major_N : found.moment.major_Nm) : 0;
  const minor = found ? (of === "force" ? found.force.minor_N : found.moment.minor_Nm) : 0;
  const axisDeg = found ? (of === "force" ? found.force.axis_deg : found.moment.axis_deg) : 0;
  if (major <= 0) return { word: "nothing", ratio: 0, axisDeg: 0 };
  const ratio = minor / major;
  return { word: ratio < 0.02 ? "line" : ratio > 0.98 ? "circle" : "ellipse", ratio, axisDeg };
}

const motion = [/^piston\.mass/, /^rod\./];
const speed = [/^speeds\.rated/];
const crank = [/^crank\.(throw_unbalance|counterweights)/];
const turning = [/^crank\.inertia/, /^flywheel\.(inertia|driven_inertia)/];
const places = [/^layout\.cylinder_spacing/, /^layout\.bank_stagger/];

/** Which inputs feed a figure, as patterns of their keys. */
function inputsOf(key: string): RegExp[] {
  if (key === "mean_piston_speed") return speed;
  if (/^(length|width|height|dry_mass|centre_height|bank_width)$/.test(key)) return [/^block\./];
  if (/^(part_count|heads$|camshaft|machined_faces|cost_index|service_score)/.test(key))
    return [/^making\./];
  if (key === "friction_mep")
    return [/^friction\./, /^gas\.(ignition|intake_pressure|compression_ratio)/, ...speed];
  if (key === "mean_torque") return [/^gas\./, ...speed];
  if (key.startsWith("brake_")) return [/^(gas|friction)\./, ...speed];
  if (key === "speed_fluctuation") return [/^gas\./, ...turning, ...motion, ...speed];
  if (key === "flywheel_inertia")
    return [/^gas\./, /^flywheel\.fluctuation/, ...turning, ...motion, ...speed];
  if (/^(peak_torque|torque_unevenness|inertia_share|impulses)/.test(key))
    return [/^gas\./, ...motion, ...speed];
  if (/against_crank$/.test(key))
    return [...motion, ...speed, ...(key.startsWith("moment") ? places : [])];
  if (/torque|roll/.test(key)) return [...motion, ...speed];
  const first = /order_1$|^peak/.test(key) ? crank : [];
  if (/free_force/.test(key)) return [...motion, ...speed, ...first];
  if (/free_moment/.test(key)) return [...motion, ...speed, ...first, ...places];
  return [];
}

/**
 * The estimates that a figure rests on. commonSpeed: the speed is set for all and no estimate of a
 * file counts for it.
 */
export function restsOn(
  key: string,
  estimates: EstimateDoc[],
  commonSpeed: boolean,
): EstimateDoc[] {
  const inputs = inputsOf(key);
  return estimates.filter(
    (e) =>
      inputs.some((pattern) => pattern.test(e.key)) && !(commonSpeed && /^speeds\./.test(e.key)),
  );
}
