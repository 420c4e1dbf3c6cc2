import {
  BufferAttribute,
  BufferGeometry,
  Color,
  EdgesGeometry,
  ExtrudeGeometry,
  LatheGeometry,
  Matrix4,
  Shape,
  Vector2,
  Vector3,
} from "three";
import { mergeGeometries, toCreasedNormals } from "three/examples/jsm/utils/BufferGeometryUtils.js";

// Solids are built in the axes of the engine: shapes lie in the plane y–z and are drawn out along x;
// turned bodies turn about x. Every solid carries its faces and the edges that are drawn as thin lines.

const crease = Math.PI / 5.2;
const coarseCrease = Math.PI / 4.2;
/** x of a shape to y, y to z, and the way it is drawn out to x. */
export const toEngine = new Matrix4().set(0, 0, 1, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 1);

/** How finely round things are cut up. */
export interface Detail {
  /** Sides of the largest circle. */
  readonly sides: number;
  /** Whether rims are broken by a bevel, and small things such as bolts are there. */
  readonly fine: boolean;
}

export const fineDetail: Detail = { sides: 44, fine: true };
/** For machines that draw without a graphics processor. */
export const plainDetail: Detail = { sides: 26, fine: false };

/** A heap of faces and edges of one rigid part. */
export class Solid {
  private readonly faces: BufferGeometry[] = [];
  private readonly lines: BufferGeometry[] = [];

  constructor(readonly detail: Detail) {}

  /** Adds a body with its colour; edges can come from a simpler body. */
  add(body: BufferGeometry, colour: string, edges: BufferGeometry | null = body): this {
    if (edges) this.lines.push(new EdgesGeometry(edges, this.detail.fine ? 34 : 42));
    const smooth = toCreasedNormals(plain(body), this.detail.fine ? crease : coarseCrease);
    const n = smooth.getAttribute("position").count;
    const c = new Color(colour);
    const rgb = new Float32Array(3 * n);
    for (let i = 0; i < n; i++) rgb.set([c.r, c.g, c.b], 3 * i);
    smooth.setAttribute("color", new BufferAttribute(rgb, 3));
    this.faces.push(smooth);
    return this;
  }

  /** A prism: a shape drawn out from x = from to x = to, its rim broken by a bevel. */
  prism(shape: Shape, from: number, to: number, colour: string, bevel = 0): this {
    const { sides, fine } = this.detail;
    const sharp = extruded(shape, from, to, 0, sides);
    return this.add(
      bevel > 0 && fine ? extruded(shape, from, to, bevel, sides) : sharp,
      colour,
      sharp,
    );
  }

  /** A prism whose edges are not drawn, for shapes with more edges than a picture can show. */
  teeth(shape: Shape, from: number, to: number, colour: string): this {
    return this.add(extruded(shape, from, to, 0, this.detail.sides), colour, null);
  }

  /** A body turned about the x axis, moved to a place in the plane y–z. */
  turned(
    profile: readonly (readonly [r: number, x: number])[],
    colour: string,
    y = 0,
    z = 0,
  ): this {
    return this.add(lathe(profile, y, z, this.detail.sides), colour);
  }

  /** A cylinder along x with broken edges. */
  cylinder(r: number, from: number, to: number, colour: string, y = 0, z = 0): this {
    if (!this.detail.fine) {
      const plainProfile = [
        [0, from],
        [r, from],
        [r, to],
        [0, to],
      ] as const;
      return this.turned(plainProfile, colour, y, z);
    }
    const b = Math.min(0.06 * r, 0.2 * (to - from));
    const profile = [
      [0, from],
      [r - b, from],
      [r, from + b],
      [r, to - b],
      [r - b, to],
      [0, to],
    ] as const;
    return this.turned(profile, colour, y, z);
  }

  get geometry(): BufferGeometry {
    return mergeGeometries(this.faces);
  }

  get edges(): BufferGeometry {
    if (this.lines.length === 0) {
      return new BufferGeometry().setAttribute(
        "position",
        new BufferAttribute(new Float32Array(0), 3),
      );
    }
    return mergeGeometries(this.lines);
  }
}

/** Loose triangles without texture places, and without those that have no area. */
function plain(body: BufferGeometry): BufferGeometry {
  const from = (body.index ? body.toNonIndexed() : body).getAttribute("position").array;
  const kept: number[] = [];
  const [a, b, c] = [new Vector3(), new Vector3(), new Vector3()];
  for (let i = 0; i < from.length; i += 9) {
    a.fromArray(from, i);
    b.fromArray(from, i + 3).sub(a);
    c.fromArray(from, i + 6).sub(a);
    if (b.cross(c).lengthSq() > 1e-20) kept.push(...from.slice(i, i + 9));
  }
  return new BufferGeometry().setAttribute(
    "position",
    new BufferAttribute(new Float32Array(kept), 3),
  );
}

function extruded(
  shape: Shape,
  from: number,
  to: number,
  bevel: number,
  sides: number,
): BufferGeometry {
  const b = Math.min(bevel, 0.3 * (to - from));
  const g = new ExtrudeGeometry(shape, {
    depth: to - from - 2 * b,
    bevelEnabled: b > 0,
    bevelSize: b,
    bevelThickness: b,
    bevelOffset: -b,
    bevelSegments: 2,
    curveSegments: Math.round(sides / 2.4),
  });
  return g.translate(0, 0, from + b).applyMatrix4(toEngine);
}

/** Sides of a circle of radius r [m]; circles larger than 6 cm get the most. */
export function sidesOf(r: number, most: number): number {
  return Math.max(10, Math.min(most, Math.round(most * Math.sqrt(r / 0.06))));
}

function lathe(
  profile: readonly (readonly [number, number])[],
  y: number,
  z: number,
  sides: number,
): BufferGeometry {
  const points = profile.map(([r, x]) => new Vector2(r, x));
  const reach = Math.max(...profile.map(([r]) => r));
  const g = new LatheGeometry(points, sidesOf(reach, sides));
  // the lathe turns about its y axis, which becomes x
  return g
    .applyMatrix4(toEngine.clone().multiply(new Matrix4().makeRotationX(Math.PI / 2)))
    .translate(0, y, z);
}

export interface Round {
  readonly y: number;
  readonly z: number;
  readonly r: number;
}

/** The outline of two circles and the straight tangents between them. */
export function hull(a: Round, b: Round): Shape {
  const dy = b.y - a.y;
  const dz = b.z - a.z;
  const d = Math.hypot(dy, dz);
  if (d <= Math.abs(a.r - b.r) + 1e-9) return disc(a.r > b.r ? a : b);
  const along = Math.atan2(dz, dy);
  const lean = Math.acos((a.r - b.r) / d);
  const s = new Shape();
  s.absarc(b.y, b.z, b.r, along - lean, along + lean, false);
  s.absarc(a.y, a.z, a.r, along + lean, along - lean + 2 * Math.PI, false);
  s.closePath();
  return s;
}

export function disc({ y, z, r }: Round, hole = 0): Shape {
  const s = new Shape();
  s.absarc(y, z, r, 0, 2 * Math.PI, false);
  if (hole > 0) {
    const h = new Shape();
    h.absarc(y, z, hole, 0, 2 * Math.PI, true);
    s.holes.push(h);
  }
  return s;
}

/** A polygon through points [y, z], anticlockwise. */
export function polygon(points: readonly (readonly [number, number])[]): Shape {
  return new Shape(points.map(([y, z]) => new Vector2(y, z)));
}

/** A fan about the origin: an outer arc of ±half round the direction, narrowing to an inner circle. */
export function fan(
  direction: number,
  half: number,
  outer: number,
  inner: number,
  innerHalf: number,
): Shape {
  // angles of the engine count from +z, those of a shape from its x, which is y
  const a = direction + Math.PI / 2;
  const s = new Shape();
  s.absarc(0, 0, outer, a - half, a + half, false);
  s.absarc(0, 0, inner, a + innerHalf, a - innerHalf, true);
  s.closePath();
  return s;
}
