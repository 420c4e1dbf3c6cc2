import { Vector3 } from "three";
import { coupleTrace, length, partForces, trace, type Plane, type Result } from "../kin";
import type { Forces } from "./forces";
import type { EngineModel } from "./model";
import type { SceneOptions } from "./options";

/** What a picture has to hold: the engine, and the arrows wherever they go. */
export function reach(model: EngineModel, forces: Forces, r: Result, o: SceneOptions): Vector3[] {
  const out = model.outline();
  const { line, bore } = model.sizes;
  // an arrow that is far longer than the engine leaves the picture; the engine must not vanish in it
  const most = 4 * bore;
  const ring = (x: number, path: readonly Plane[]) => {
    const radius = Math.min(most, 1.2 * o.metresPerNewton * Math.max(0, ...path.map(length)));
    for (let i = 0; i < 12; i++) {
      const a = (i * Math.PI) / 6;
      out.push(new Vector3(x, radius * Math.cos(a), radius * Math.sin(a)));
    }
  };
  if (o.arrows.resultant || o.arrows.parts) {
    ring(r.balance.reference_mm / 1000, trace(r, o.orders, 72));
  }
  if (o.arrows.couple) {
    const path = coupleTrace(r, forces.span, o.orders, 72);
    ring(line.from, path);
    ring(line.to, path);
  }
  const { pistons, crankMasses, shafts } = o.arrows;
  const shown = {
    cylinder: pistons,
    throw: crankMasses,
    counterweight: crankMasses,
    shaft: shafts,
  };
  if (!pistons && !crankMasses && !shafts) return out;
  for (let a = 0; a < 720; a += 30) {
    for (const p of partForces(r, a, o.orders)) {
      if (!shown[p.contribution.kind]) continue;
      const tip = new Vector3(0, p.force.y, p.force.z)
        .multiplyScalar(o.metresPerNewton)
        .clampLength(0, most);
      out.push(forces.foot(p, a).add(tip));
    }
  }
  return out;
}
