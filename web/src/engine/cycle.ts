import type { EngineDocument } from "../api/types";

/** Crank angle after which firings repeat [deg]: one revolution of a two-stroke engine, two of a four-stroke. */
export function cycleDeg(doc: Pick<EngineDocument, "cycle">): number {
  return doc.cycle === "two-stroke" ? 360 : 720;
}
