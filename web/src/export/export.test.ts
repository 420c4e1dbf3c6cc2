import { validateBytes } from "gltf-validator";
import { beforeAll, describe, expect, it } from "vitest";
import type { Geometry } from "../kin";
import { columnsFor } from "./compose";
import { filmAngles } from "./film";
import { engineGlb } from "./gltf";

interface Vector {
  geometry: Geometry;
}
const files = import.meta.glob<Vector>("../../tests/unit/vectors/*.json", {
  eager: true,
  import: "default",
});

// The exporter reads blobs the way browsers do; Node has blobs but not the reader.
beforeAll(() => {
  globalThis.FileReader ??= class {
    result: ArrayBuffer | null = null;
    onloadend: (() => void) | null = null;
    readAsArrayBuffer(blob: Blob): void {
      void blob.arrayBuffer().then((b) => {
        this.result = b;
        this.onloadend?.();
      });
    }
  } as unknown as typeof FileReader;
});

interface Node {
  name?: string;
  mesh?: number;
}

function contentOf(glb: ArrayBuffer): {
  nodes: Node[];
  animations: { channels: unknown[]; name: string }[];
  accessors: { max?: number[]; min?: number[] }[];
} {
  const length = new DataView(glb).getUint32(12, true);
  return JSON.parse(new TextDecoder().decode(new Uint8Array(glb, 20, length)));
}

const wanted = ["inline-four", "vee-eight", "radial-five", "offset-pair-clockwise"];
const engines = Object.entries(files)
  .map(([path, v]) => ({ name: path.replace(/.*\/|\.json$/g, ""), v }))
  .filter((e) => wanted.includes(e.name));

describe.each(engines)("glTF of $name", ({ name, v }) => {
  it("is valid, named and moves", async () => {
    const glb = await engineGlb(v.geometry, { name, angleDeg: 30 });
    const report = await validateBytes(new Uint8Array(glb), { maxIssues: 20 });
    expect(report.issues.messages.filter((m) => m.severity < 2)).toEqual([]);
    const content = contentOf(glb);
    const names = content.nodes.map((n) => n.name ?? "");
    for (const c of v.geometry.cylinders) {
      expect(names.some((n) => n.startsWith("piston") && n.endsWith(c.name))).toBe(true);
      expect(names.some((n) => n.startsWith("rod") && n.endsWith(c.name))).toBe(true);
    }
    expect(names).toContain("crank");
    // crank, rods twice, pistons and shafts
    const moving = 1 + 3 * v.geometry.cylinders.length + v.geometry.shafts.length;
    expect(content.animations[0]?.channels).toHaveLength(moving);
    expect(glb.byteLength).toBeLessThan(8e6);
  });
});

it("films whole revolutions without showing an angle twice", () => {
  const angles = filmAngles(2, 3, 30);
  expect(angles).toHaveLength(180);
  expect(angles[0]).toBe(0);
  expect(angles.at(-1)).toBeCloseTo(720 - 4, 9);
});

it("finds columns that suit the picture", () => {
  expect(columnsFor(1, 1920, 1080)).toBe(1);
  expect(columnsFor(4, 1920, 1080)).toBe(2);
  expect(columnsFor(3, 1920, 600)).toBe(3);
  expect(columnsFor(4, 600, 1920)).toBe(1);
});
