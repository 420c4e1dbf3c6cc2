import type { EngineView, SolidDoc, SpaceDoc } from "../../api/types";
import type { BodyPart } from "../../scene";
import type { Tool } from "../balance/tool.svelte";

/** What a tool of the section on room and mass is given: the answer that all share. */
export interface SpaceProps {
  tool: Tool<object, SpaceDoc>;
  view: EngineView;
  /** Asks again for the engine as it stands. */
  ask: () => void;
  active: boolean;
}

/** From where an engine is looked at: along the crank from the drive end, from the side, from above. */
export type Side = "front" | "side" | "top";

export interface Shape {
  part: string;
  name: string;
  void: boolean;
  /** Corners, right and up [mm]. */
  points: [number, number][];
}

type Point = [number, number, number];

/** A place seen from a side: right and up. Side: free end left. */
export function seen(side: Side, [x, y, z]: Point): [number, number] {
  if (side === "front") return [y, z];
  return side === "side" ? [x, z] : [x, y];
}

const around = 24;

/** Corners of what a solid covers, seen from a side. */
function corners(s: SolidDoc, side: Side): [number, number][] {
  const out: [number, number][] = [];
  if (s.kind === "prism")
    for (const [y = 0, z = 0] of s.section_mm ?? [])
      for (const x of [s.from_mm, s.to_mm]) out.push(seen(side, [x, y, z]));
  else {
    const a = s.a_mm as Point;
    const b = s.b_mm as Point;
    const d: Point = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
    const n = Math.hypot(...d) || 1;
    const u: Point = [d[0] / n, d[1] / n, d[2] / n];
    // two directions square to the axis
    const t: Point = Math.abs(u[0]) < 0.9 ? [1, 0, 0] : [0, 1, 0];
    const p = cross(u, t);
    const m = Math.hypot(...p) || 1;
    const v: Point = [p[0] / m, p[1] / m, p[2] / m];
    const w = cross(u, v);
    for (let i = 0; i < around; i++) {
      const c = s.outer_mm * Math.cos((2 * Math.PI * i) / around);
      const q = s.outer_mm * Math.sin((2 * Math.PI * i) / around);
      for (const e of [a, b])
        out.push(
          seen(side, [
            e[0] + c * v[0] + q * w[0],
            e[1] + c * v[1] + q * w[1],
            e[2] + c * v[2] + q * w[2],
          ]),
        );
    }
  }
  return out;
}

function cross(a: Point, b: Point): Point {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/** The convex outline of some points, anticlockwise. */
export function hull(points: readonly [number, number][]): [number, number][] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list: readonly [number, number][]): [number, number][] => {
    const out: [number, number][] = [];
    for (const p of list) {
      for (;;) {
        const b = out.at(-1);
        const a = out.at(-2);
        if (!a || !b) break;
        if ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 1e-9) break;
        out.pop();
      }
      out.push(p);
    }
    out.pop();
    return out;
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

/** What every solid covers, seen from a side. Sections seen along the crank keep their own outline. */
export function shapes(solids: readonly SolidDoc[], side: Side): Shape[] {
  return solids.map((s) => ({
    part: s.part,
    name: s.name,
    void: s.void ?? false,
    points:
      s.kind === "prism" && side === "front"
        ? (s.section_mm ?? []).map(([y = 0, z = 0]): [number, number] => [y, z])
        : hull(corners(s, side)),
  }));
}

/** What stands round the crank train, for the picture in three dimensions: no voids, nothing that moves, no fluids. */
export function bodyOf(solids: readonly SolidDoc[]): BodyPart[] {
  const m = (v: readonly number[]): Point => [
    (v[0] ?? 0) / 1000,
    (v[1] ?? 0) / 1000,
    (v[2] ?? 0) / 1000,
  ];
  return solids
    .filter((s) => !s.void && !s.moving && !/^(flywheel|oil|coolant|accessories)/.test(s.part))
    .map((s): BodyPart =>
      s.kind === "prism"
        ? {
            kind: "prism",
            section: (s.section_mm ?? []).map(([y = 0, z = 0]): [number, number] => [
              y / 1000,
              z / 1000,
            ]),
            from: s.from_mm / 1000,
            to: s.to_mm / 1000,
          }
        : { kind: "tube", a: m(s.a_mm), b: m(s.b_mm), outer: s.outer_mm / 1000 },
    );
}
