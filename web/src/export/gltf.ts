import {
  AnimationClip,
  type BufferGeometry,
  Euler,
  Group,
  LineSegments,
  Mesh,
  Quaternion,
  QuaternionKeyframeTrack,
  VectorKeyframeTrack,
  type Object3D,
} from "three";
import { GLTFExporter } from "three/examples/jsm/exporters/GLTFExporter.js";
import { mergeVertices } from "three/examples/jsm/utils/BufferGeometryUtils.js";
import type { Geometry } from "../kin";
import { EngineModel } from "../scene/model";

export interface GlbOptions {
  readonly name: string;
  /** Crank angle at which the engine stands, and at which its animation begins. */
  readonly angleDeg?: number;
  /** Time of one revolution of the animation [s]; 0: no animation. */
  readonly secondsPerRevolution?: number;
  readonly bores?: boolean;
}

/** Crank angle between two keyframes. */
const stepDeg = 5;

/**
 * An engine as binary glTF: metres, y up as the format wants it, parts by name, and two revolutions of the
 * crank as an animation.
 */
export async function engineGlb(geometry: Geometry, options: GlbOptions): Promise<ArrayBuffer> {
  const { angleDeg = 0, secondsPerRevolution = 4, bores = true } = options;
  const model = new EngineModel(geometry);
  try {
    model.setBores(bores ? "glass" : "off");
    model.setAngle(angleDeg);
    strip(model.root);
    nameMeshes(model.root);
    joinVertices(model.root);
    const scene = new Group();
    scene.name = options.name;
    scene.rotation.x = -Math.PI / 2; // z up here, y up there
    scene.add(model.root);
    scene.updateMatrixWorld(true);
    const clips =
      secondsPerRevolution > 0 ? [animation(model, angleDeg, secondsPerRevolution)] : [];
    model.setAngle(angleDeg);
    const out = await new GLTFExporter().parseAsync(scene, { binary: true, animations: clips });
    if (!(out instanceof ArrayBuffer)) throw new Error("the exporter gave no binary file");
    return out;
  } finally {
    model.dispose();
  }
}

/** Takes out what only the page needs: lines and glows. */
function strip(root: Object3D): void {
  const out: Object3D[] = [];
  root.traverse((o) => {
    if (o instanceof LineSegments || !o.visible) out.push(o);
  });
  for (const o of out) o.removeFromParent();
}

function nameMeshes(root: Object3D): void {
  root.traverse((o) => {
    if (o instanceof Mesh && !o.name) o.name = `${o.parent?.name ?? "part"} body`;
  });
}

/** The page draws loose triangles, which are quicker to build; a file is half as large with shared corners. */
function joinVertices(root: Object3D): void {
  const joined = new Map<BufferGeometry, BufferGeometry>();
  root.traverse((o) => {
    if (!(o instanceof Mesh)) return;
    const loose = o.geometry as BufferGeometry;
    const g = joined.get(loose) ?? mergeVertices(loose, 1e-6);
    joined.set(loose, g);
    o.geometry = g;
  });
}

/** Two revolutions as keyframes; names of nodes carry the tracks. */
function animation(
  model: EngineModel,
  startDeg: number,
  secondsPerRevolution: number,
): AnimationClip {
  const steps = Math.round(720 / stepDeg);
  const times = Array.from(
    { length: steps + 1 },
    (_, i) => (i * stepDeg * secondsPerRevolution) / 360,
  );
  const moving = [model.crank, ...model.rods, ...model.pistons, ...model.shafts];
  const places = moving.map(() => [] as number[]);
  const turns = moving.map(() => [] as number[]);
  const before = moving.map(() => new Quaternion());
  const q = new Quaternion();
  for (let i = 0; i <= steps; i++) {
    model.setAngle(startDeg + i * stepDeg);
    moving.forEach((o, k) => {
      places[k]?.push(...o.position.toArray());
      q.setFromEuler(new Euler(o.rotation.x, 0, 0));
      const last = before[k];
      // the short way from key to key
      if (last && i > 0 && q.dot(last) < 0) q.set(-q.x, -q.y, -q.z, -q.w);
      last?.copy(q);
      turns[k]?.push(q.x, q.y, q.z, q.w);
    });
  }
  const slides = (o: Object3D) =>
    model.pistons.includes(o as Group) || model.rods.includes(o as Group);
  const tracks = moving.flatMap((o, k) => {
    const list = [];
    if (slides(o)) list.push(new VectorKeyframeTrack(`${o.uuid}.position`, times, places[k] ?? []));
    if (!model.pistons.includes(o as Group)) {
      list.push(new QuaternionKeyframeTrack(`${o.uuid}.quaternion`, times, turns[k] ?? []));
    }
    return list;
  });
  return new AnimationClip("two revolutions", -1, tracks);
}
