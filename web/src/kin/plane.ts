// Plane vectors w = y + i·z, seen from the drive end. Angles count from +z about +x.

export interface Plane {
  readonly y: number;
  readonly z: number;
}

export const rad = (deg: number): number => (deg * Math.PI) / 180;

/** The unit vector at an angle [rad]: i·e^{ia}. */
export const direction = (a: number): Plane => ({ y: -Math.sin(a), z: Math.cos(a) });

export const plus = (a: Plane, b: Plane): Plane => ({ y: a.y + b.y, z: a.z + b.z });
export const minus = (a: Plane, b: Plane): Plane => ({ y: a.y - b.y, z: a.z - b.z });
export const times = (a: Plane, f: number): Plane => ({ y: a.y * f, z: a.z * f });
export const length = (a: Plane): number => Math.hypot(a.y, a.z);

/** The vector turned by +90°. */
export const quarter = (a: Plane): Plane => ({ y: -a.z, z: a.y });

/** The product of complex numbers. */
export const product = (a: Plane, b: Plane): Plane => ({
  y: a.y * b.y - a.z * b.z,
  z: a.y * b.z + a.z * b.y,
});

export const nothing: Plane = { y: 0, z: 0 };

/** The value brought into [0, period). */
export function wrap(value: number, period: number): number {
  const w = value % period;
  return w < 0 ? w + period : w;
}
