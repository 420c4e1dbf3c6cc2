import { Mesh, Vector3, type BufferAttribute, type BufferGeometry } from "three";
import { describe, expect, test } from "vitest";
import { Body } from "./body";
import { Materials } from "./materials";
import type { BodyPart } from "./options";

function spans(parts: readonly BodyPart[]): { low: Vector3; high: Vector3 } {
  const body = new Body(parts, 24, new Materials(true));
  const low = new Vector3(Infinity, Infinity, Infinity);
  const high = low.clone().negate();
  body.group.traverse((o) => {
    if (!(o instanceof Mesh)) return;
    const at = (o.geometry as BufferGeometry).getAttribute("position") as BufferAttribute;
    for (let i = 0; i < at.count; i++) {
      const p = new Vector3().fromBufferAttribute(at, i);
      low.min(p);
      high.max(p);
    }
  });
  return { low, high };
}

const tube = (a: [number, number, number], b: [number, number, number]): BodyPart => ({
  kind: "tube",
  a,
  b,
  outer: 0.1,
});

describe("what stands round the crank train", () => {
  test("a prism keeps its section in y and z and is drawn out along x", () => {
    const { low, high } = spans([
      {
        kind: "prism",
        section: [
          [-0.1, 0],
          [0.2, 0],
          [0.2, 0.4],
        ],
        from: -0.3,
        to: 0.5,
      },
    ]);
    expect(low.toArray().map((v) => +v.toFixed(6))).toEqual([-0.3, -0.1, 0]);
    expect(high.toArray().map((v) => +v.toFixed(6))).toEqual([0.5, 0.2, 0.4]);
  });
  test.each([
    ["x", [0, 0, 0], [1, 0, 0], [0, -0.1, -0.1], [1, 0.1, 0.1]],
    ["y", [0, 1, 0], [0, 0, 0], [-0.1, 0, -0.1], [0.1, 1, 0.1]],
    ["z", [0, 0, 0.2], [0, 0, 1], [-0.1, -0.1, 0.2], [0.1, 0.1, 1]],
  ] as const)("a tube along %s lies between its ends", (_, a, b, from, to) => {
    const { low, high } = spans([tube([...a], [...b])]);
    low.toArray().forEach((v, i) => expect(v).toBeCloseTo(from[i] ?? 0, 2));
    high.toArray().forEach((v, i) => expect(v).toBeCloseTo(to[i] ?? 0, 2));
  });
  test("what has no size is left out", () => {
    const body = new Body([tube([0, 0, 0], [0, 0, 0])], 24, new Materials(true));
    expect(body.group.children).toHaveLength(0);
    expect(body.corners).toHaveLength(0);
  });
});
