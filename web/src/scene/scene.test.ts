import { Mesh, Vector3, type BufferGeometry } from "three";
import { describe, expect, it } from "vitest";
import { Train, type Geometry, type Result } from "../kin";
import { EngineModel } from "./model";
import { commonScale } from "./scale";
import { sizesOf } from "./sizes";
import { fineDetail, plainDetail } from "./solid";

interface Vector {
  geometry: Geometry;
  document: Result;
}
const files = import.meta.glob<Vector>("../../tests/unit/vectors/*.json", {
  eager: true,
  import: "default",
});
const engines = Object.entries(files).map(([path, v]) => ({
  name: path.replace(/.*\/|\.json$/g, ""),
  v,
}));

describe.each(engines)("solid $name", ({ v }) => {
  it.each([fineDetail, plainDetail])("has sound bodies and few enough triangles", (detail) => {
    const model = new EngineModel(v.geometry, detail);
    model.root.traverse((o) => {
      if (!(o instanceof Mesh)) return;
      const g = o.geometry as BufferGeometry;
      for (const name of ["position", "normal"]) {
        expect(Array.from(g.getAttribute(name)?.array ?? []).every(Number.isFinite)).toBe(true);
      }
    });
    expect(model.triangles).toBeLessThan(detail.fine ? 100_000 : 35_000);
    model.dispose();
  });

  it("keeps every rod on its two pins", () => {
    const model = new EngineModel(v.geometry, plainDetail);
    const train = new Train(v.geometry);
    for (const angle of [0, 77, 200, 345, 611]) {
      model.setAngle(angle);
      model.root.updateMatrixWorld(true);
      train.cylinders.forEach((c, i) => {
        const eye = new Vector3(0, 0, c.rod).applyMatrix4(
          model.rods[i]?.matrixWorld ?? model.root.matrixWorld,
        );
        const pin = train.pose(i, angle).piston;
        expect(Math.hypot(eye.y - pin.y, eye.z - pin.z)).toBeLessThan(1e-9);
        expect(model.pistons[i]?.position.y).toBeCloseTo(pin.y, 12);
      });
    }
    model.dispose();
  });

  it("lays the crank without gaps or overlaps", () => {
    const { line } = sizesOf(v.geometry, new Train(v.geometry));
    const parts = [...line.mains, ...line.webs, ...line.pins].sort((a, b) => a.from - b.from);
    parts.forEach((p, i) => {
      expect(p.to).toBeGreaterThan(p.from);
      expect(p.from).toBeCloseTo(i === 0 ? line.from : (parts[i - 1]?.to ?? NaN), 9);
    });
  });
});

it("gives all engines one scale", () => {
  const all = engines.map((e) => e.v);
  const common = commonScale(all);
  expect(common).toBeGreaterThan(0);
  for (const v of all) expect(commonScale([v])).toBeGreaterThanOrEqual(0);
  const bores = all.map((v) => v.geometry.bore_mm / 1000);
  const forces = all.map((v) => v.document.balance.peak_force_N);
  expect(common * Math.max(...forces)).toBeLessThanOrEqual(2.2 * Math.max(...bores));
});
