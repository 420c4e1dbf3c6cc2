// The ellipse that two counter-turning vectors describe, for the drawings of before and after.

/** Two counter-turning vectors as [y, z] at crank angle 0. */
export interface Phasors {
  with: readonly number[];
  against: readonly number[];
}

export interface Point {
  y: number;
  z: number;
}

export interface EllipseShape {
  major: number;
  minor: number;
  /** Direction of the longer semi-axis, from y [deg]. */
  axisDeg: number;
  /** At the crank angle: the part with the crank, and the sum. */
  with: Point;
  sum: Point;
}

function turned(v: readonly number[], rad: number): Point {
  const [y = 0, z = 0] = v;
  const [c, s] = [Math.cos(rad), Math.sin(rad)];
  return { y: y * c - z * s, z: y * s + z * c };
}

/** The ellipse of an order and where its vectors stand at a crank angle [deg]. */
export function ellipseShape(
  p: Phasors,
  order: number,
  deg: number,
  clockwise: boolean,
): EllipseShape {
  const size = (v: readonly number[]) => Math.hypot(v[0] ?? 0, v[1] ?? 0);
  const angle = (v: readonly number[]) => Math.atan2(v[1] ?? 0, v[0] ?? 0);
  const [w, a] = [size(p.with), size(p.against)];
  const theta = ((clockwise ? -1 : 1) * order * deg * Math.PI) / 180;
  const withNow = turned(p.with, theta);
  const againstNow = turned(p.against, -theta);
  const axis = (w > 0 && a > 0 ? angle(p.with) + angle(p.against) : 0) / 2;
  return {
    major: w + a,
    minor: Math.abs(w - a),
    axisDeg: (axis * 180) / Math.PI,
    with: withNow,
    sum: { y: withNow.y + againstNow.y, z: withNow.z + againstNow.z },
  };
}
