import { DataTexture, LinearFilter, SRGBColorSpace, Vector3 } from "three";

// For machines that draw without a graphics processor: how the studio looks in a polished ball, painted
// once. A part then takes one look into the ball per pixel instead of lamps and mirrors, a fifth of the work.

const size = 128;

interface Lamp {
  readonly from: Vector3;
  readonly soft: number;
  readonly shine: number;
  readonly sharp: number;
}

const lamp = (
  x: number,
  y: number,
  z: number,
  soft: number,
  shine: number,
  sharp: number,
): Lamp => ({
  from: new Vector3(x, y, z).normalize(),
  soft,
  shine,
  sharp,
});

const lamps: readonly Lamp[] = [
  lamp(-0.35, 0.85, 0.55, 0.42, 0.34, 14), // overhead
  lamp(-0.9, 0.1, 0.5, 0.16, 0.2, 22), // from the left
  lamp(0.85, 0.25, -0.1, 0.2, 0.26, 9), // rim
];

/** A ball seen from the front; x to the right, y up. */
export function matcap(): DataTexture {
  const data = new Uint8Array(4 * size * size);
  const n = new Vector3();
  for (let j = 0; j < size; j++) {
    for (let i = 0; i < size; i++) {
      const x = (2 * (i + 0.5)) / size - 1;
      const y = (2 * (j + 0.5)) / size - 1;
      const r = Math.hypot(x, y);
      n.set(x, y, Math.sqrt(Math.max(0, 1 - r * r)));
      if (r > 1) n.divideScalar(r);
      const v = Math.round(255 * Math.min(1, light(n)));
      data.set([v, v, Math.min(255, v + 3), 255], 4 * (j * size + i));
    }
  }
  const t = new DataTexture(data, size, size);
  t.colorSpace = SRGBColorSpace;
  t.minFilter = t.magFilter = LinearFilter;
  t.needsUpdate = true;
  return t;
}

function light(n: Vector3): number {
  // sky above, floor below
  let sum = 0.74 + 0.14 * n.y;
  const mirrored = new Vector3(2 * n.z * n.x, 2 * n.z * n.y, 2 * n.z * n.z - 1);
  for (const l of lamps) {
    sum += l.soft * Math.max(0, n.dot(l.from));
    sum += l.shine * Math.max(0, mirrored.dot(l.from)) ** l.sharp;
  }
  return sum;
}
