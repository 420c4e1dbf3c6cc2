import {
  BufferGeometry,
  Float32BufferAttribute,
  Group,
  LineSegments,
  Mesh,
  PlaneGeometry,
  Shape,
  Vector3,
} from "three";
import type { CylinderPlace } from "../kin";
import type { Materials } from "./materials";
import { finish } from "./palette";
import type { Sizes } from "./sizes";
import { Solid } from "./solid";
import { turnedAboutZ } from "./turned";

export type BoreLook = "glass" | "section" | "off";

/** The sleeve of one cylinder, as glass or cut in half, the open side towards the viewer. */
export class Bore {
  readonly group = new Group();
  private readonly glass: Mesh;
  private readonly section: Group;

  constructor(
    c: CylinderPlace,
    z: Sizes,
    private readonly shapes: BoreShapes,
    m: Materials,
  ) {
    this.group.name = `bore ${c.name}`;
    const sleeve = z.sleeves[c.index] ?? { low: 0, high: 0 };
    const at = { y: c.across.y * c.boreOffset, z: c.across.z * c.boreOffset };
    this.group.position.set(c.x, at.y, at.z);
    this.group.rotation.x = c.axis;
    const parts = this.shapes.of(sleeve.high - sleeve.low, z);
    this.glass = new Mesh(parts.glass, m.glass);
    this.glass.renderOrder = 5;
    this.glass.add(new LineSegments(parts.rims, m.rim));
    this.section = new Group();
    const half = new Mesh(parts.half, m.cut);
    half.castShadow = half.receiveShadow = true;
    this.section.add(half, new LineSegments(parts.halfEdges, m.edge));
    for (const part of [this.glass, this.section]) {
      part.position.z = sleeve.low;
      this.group.add(part);
    }
    this.show("glass");
  }

  show(look: BoreLook): void {
    this.glass.visible = look === "glass";
    this.section.visible = look === "section";
  }

  /** Turns the open side of a cut sleeve to where the viewer is, in quarter turns. */
  face(viewer: Vector3): void {
    const d = viewer.clone().applyAxisAngle(alongCrank, -this.group.rotation.x);
    const angle = Math.round(Math.atan2(d.y, d.x) / (Math.PI / 2)) * (Math.PI / 2);
    this.section.rotation.z = angle;
  }
}

const alongCrank = new Vector3(1, 0, 0);

interface Parts {
  glass: BufferGeometry;
  rims: BufferGeometry;
  half: BufferGeometry;
  halfEdges: BufferGeometry;
}

/** Sleeves of the same length share their shapes. */
export class BoreShapes {
  private readonly made = new Map<number, Parts>();

  of(length: number, z: Sizes): Parts {
    const key = Math.round(length * 1e5);
    let parts = this.made.get(key);
    if (!parts) this.made.set(key, (parts = make(length, z)));
    return parts;
  }

  dispose(): void {
    for (const p of this.made.values())
      for (const g of Object.values(p)) (g as BufferGeometry).dispose();
  }
}

function make(length: number, z: Sizes): Parts {
  const inner = 0.503 * z.bore;
  const outer = inner + z.wall;
  const { sides } = z.detail;
  const glass = turnedAboutZ(
    [
      [outer, length],
      [outer, 0],
    ],
    sides,
  );
  // open towards +x of its own frame
  const ring = new Shape();
  ring.absarc(0, 0, outer, 0, Math.PI, false);
  ring.absarc(0, 0, inner, Math.PI, 0, true);
  ring.closePath();
  const cut = new Solid(z.detail).add(turnedAboutZ.prism(ring, 0, length, 2 * sides), finish.wall);
  // the faces of the cut, a hair in front of the wall
  for (const side of [-1, 1]) {
    const face = new PlaneGeometry(0.97 * z.wall, 0.998 * length)
      .rotateX(Math.PI / 2)
      .rotateZ(Math.PI / 2);
    cut.add(
      face.translate(0.0015 * z.bore, side * (inner + z.wall / 2), length / 2),
      finish.cut,
      null,
    );
  }
  return {
    glass,
    rims: rims(inner, outer, length, sides),
    half: cut.geometry,
    halfEdges: cut.edges,
  };
}

function rims(inner: number, outer: number, length: number, n: number): BufferGeometry {
  const points: number[] = [];
  for (const [r, z] of [
    [outer, 0],
    [outer, length],
    [inner, length],
  ] as const) {
    for (let i = 0; i < n; i++) {
      for (const k of [i, i + 1]) {
        const a = (2 * Math.PI * k) / n;
        points.push(r * Math.cos(a), r * Math.sin(a), z);
      }
    }
  }
  return new BufferGeometry().setAttribute("position", new Float32BufferAttribute(points, 3));
}
