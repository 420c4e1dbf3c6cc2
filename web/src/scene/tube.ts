import { BufferAttribute, BufferGeometry, Vector3 } from "three";

/** A thin tube along a closed path, for the trace of an arrow's tip. */
export function closedTube(path: readonly Vector3[], r: number, sides = 6): BufferGeometry {
  const n = path.length;
  const position = new Float32Array(3 * n * sides);
  const normal = new Float32Array(3 * n * sides);
  const index: number[] = [];
  const along = new Vector3();
  const a = new Vector3();
  const b = new Vector3();
  const x = new Vector3(1, 0, 0);
  path.forEach((p, i) => {
    along.subVectors(path[(i + 1) % n] ?? p, path[(i + n - 1) % n] ?? p);
    // the paths lie across the crank, so that x is never along them
    a.copy(x);
    b.crossVectors(x, along);
    if (b.lengthSq() < 1e-18) b.set(0, 1, 0);
    b.normalize();
    for (let k = 0; k < sides; k++) {
      const t = (2 * Math.PI * k) / sides;
      const u = a.clone().multiplyScalar(Math.cos(t)).addScaledVector(b, Math.sin(t));
      const at = 3 * (i * sides + k);
      u.toArray(normal, at);
      u.multiplyScalar(r).add(p).toArray(position, at);
      const next = ((i + 1) % n) * sides;
      const k1 = (k + 1) % sides;
      const [p00, p01, p10, p11] = [i * sides + k, i * sides + k1, next + k, next + k1];
      index.push(p00, p01, p10, p10, p01, p11);
    }
  });
  return new BufferGeometry()
    .setAttribute("position", new BufferAttribute(position, 3))
    .setAttribute("normal", new BufferAttribute(normal, 3))
    .setIndex(index);
}
