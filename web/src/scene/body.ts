import {
  BufferGeometry,
  CylinderGeometry,
  EdgesGeometry,
  ExtrudeGeometry,
  Group,
  LineSegments,
  Matrix4,
  Mesh,
  Shape,
  Vector2,
  Vector3,
} from "three";
import { mergeGeometries } from "three/examples/jsm/utils/BufferGeometryUtils.js";
import type { Materials } from "./materials";
import type { BodyPart } from "./options";
import { toEngine } from "./solid";

// What stands round the crank train, as glass: the crank train inside goes on turning.

const upright = new Vector3(0, 1, 0);

/** The faces of one part [m]. */
function shapeOf(p: BodyPart, sides: number): BufferGeometry | null {
  if (p.kind === "prism") {
    if (p.section.length < 3 || !(p.to > p.from)) return null;
    const shape = new Shape(p.section.map(([y, z]) => new Vector2(y, z)));
    return new ExtrudeGeometry(shape, { depth: p.to - p.from, bevelEnabled: false })
      .translate(0, 0, p.from)
      .applyMatrix4(toEngine);
  }
  const a = new Vector3(...p.a);
  const along = new Vector3(...p.b).sub(a);
  const length = along.length();
  if (!(length > 0 && p.outer > 0)) return null;
  const turn = new Matrix4().makeRotationAxis(
    new Vector3().crossVectors(upright, along).normalize(),
    upright.angleTo(along),
  );
  if (Math.abs(upright.angleTo(along) - Math.PI / 2) > Math.PI / 2 - 1e-6) turn.identity(); // along y already
  return new CylinderGeometry(p.outer, p.outer, length, sides)
    .applyMatrix4(turn)
    .translate(...a.addScaledVector(along, 0.5).toArray());
}

/** Loose triangles, places alone: what all shapes have. */
function bare(g: BufferGeometry): BufferGeometry {
  const from = g.index ? g.toNonIndexed() : g;
  return new BufferGeometry().setAttribute("position", from.getAttribute("position"));
}

/** The body of an engine: a glass of all its parts, and their edges. */
export class Body {
  readonly group = new Group();
  /** Corners that a picture has to hold. */
  readonly corners: Vector3[] = [];
  private readonly made: BufferGeometry[] = [];

  constructor(parts: readonly BodyPart[], sides: number, m: Materials) {
    this.group.name = "body";
    const shapes = parts.map((p) => shapeOf(p, sides)).filter((g) => g !== null);
    if (shapes.length === 0) return;
    const faces = mergeGeometries(shapes.map(bare));
    faces.computeVertexNormals();
    const edges = mergeGeometries(shapes.map((g) => new EdgesGeometry(g, 30)));
    for (const g of shapes) {
      g.computeBoundingBox();
      const { min, max } = g.boundingBox ?? { min: new Vector3(), max: new Vector3() };
      for (const x of [min.x, max.x])
        for (const y of [min.y, max.y])
          for (const z of [min.z, max.z]) this.corners.push(new Vector3(x, y, z));
      g.dispose();
    }
    this.made.push(faces, edges);
    const glass = new Mesh(faces, m.glass);
    glass.renderOrder = 6;
    this.group.add(glass, new LineSegments(edges, m.rim));
  }

  dispose(): void {
    for (const g of this.made) g.dispose();
  }
}
