import {
  coupleTrace,
  length,
  partForces,
  trace,
  Train,
  type Geometry,
  type OrderChoice,
  type Result,
} from "../kin";
import { sizesOf } from "./sizes";

/** An engine as the scales need it. */
export interface Compared {
  readonly geometry: Geometry;
  readonly document: Result;
}

/** How long the longest arrow of a line-up is drawn, in bores of the largest engine. */
const longest = 2.1;

/**
 * One scale for the arrows of all engines that are compared [m/N], so that their lengths can be. With
 * parts, single parts of an engine count too, which are often far larger than what is left of them.
 */
export function commonScale(
  engines: readonly Compared[],
  orders: OrderChoice = "all",
  parts = false,
): number {
  let peak = 0;
  let bore = 0;
  for (const { geometry, document } of engines) {
    const z = sizesOf(geometry, new Train(geometry));
    bore = Math.max(bore, z.bore);
    const span = z.line.to - z.line.from;
    peak = Math.max(peak, ...trace(document, orders, 90).map(length));
    peak = Math.max(peak, ...coupleTrace(document, span, orders, 90).map(length));
    if (parts) {
      for (let a = 0; a < 720; a += 30) {
        peak = Math.max(peak, ...partForces(document, a, orders).map((p) => length(p.force)));
      }
    }
  }
  return peak > 0 ? (longest * bore) / peak : 0;
}
