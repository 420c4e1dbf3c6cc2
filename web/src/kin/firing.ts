import { wrap } from "./plane";
import type { Train } from "./train";

export interface Flash {
  /** Index of the cylinder. */
  readonly cylinder: number;
  /** Crank angle since it fired [deg]. */
  readonly sinceDeg: number;
  /** 1 at the firing, falling to 0 at the end of the flash. */
  readonly strength: number;
}

/** The cylinders that fired within the last lastDeg degrees, the latest first. */
export function flashes(train: Train, angleDeg: number, lastDeg = 60): Flash[] {
  const out: Flash[] = [];
  for (const c of train.cylinders) {
    const sinceDeg = wrap(angleDeg - c.firesAtDeg, train.cycleDeg);
    if (sinceDeg < lastDeg) {
      const left = 1 - sinceDeg / lastDeg;
      out.push({ cylinder: c.index, sinceDeg, strength: left * left });
    }
  }
  return out.sort((a, b) => a.sinceDeg - b.sinceDeg);
}
