import {
  ExtrudeGeometry,
  LatheGeometry,
  Matrix4,
  Vector2,
  type BufferGeometry,
  type Shape,
} from "three";
import { sidesOf } from "./solid";

/** The lathe turns about its y axis; this stands it up along z without mirroring it. */
const upright = new Matrix4().makeRotationX(Math.PI / 2);

/** A body turned about the z axis from a profile of [radius, z]. */
export function turnedAboutZ(
  profile: readonly (readonly [number, number])[],
  sides: number,
  y = 0,
): BufferGeometry {
  const points = profile.map(([r, z]) => new Vector2(r, z));
  const reach = Math.max(...profile.map(([r]) => r));
  return new LatheGeometry(points.reverse(), sidesOf(reach, sides))
    .applyMatrix4(upright)
    .translate(0, y, 0);
}

/** A shape whose x is y of the frame and whose y is −x, drawn out along z. */
turnedAboutZ.prism = (
  shape: Shape,
  from: number,
  to: number,
  sides: number,
  y = 0,
): BufferGeometry =>
  new ExtrudeGeometry(shape, {
    depth: to - from,
    bevelEnabled: false,
    curveSegments: Math.round(sides / 3),
  })
    .rotateZ(Math.PI / 2)
    .translate(0, y, from);
