import { describe, expect, it } from "vitest";
import * as kin from "./index";

interface Vector {
  geometry: kin.Geometry;
  document: kin.Result;
  poses: {
    angle_deg: number;
    pins: [number, number][];
    cylinders: { pin: number[]; piston: number[]; rod: number[] }[];
  }[];
  forces: {
    angle_deg: number;
    force_N: number[];
    moment_Nm: number[];
    roll_Nm: number;
    torque_Nm: number;
    whole_force_N: number[];
  }[];
}

const files = import.meta.glob<Vector>("../../tests/unit/vectors/*.json", {
  eager: true,
  import: "default",
});
const vectors = Object.entries(files).map(([path, v]) => ({
  name: path.replace(/.*\/|\.json$/g, ""),
  v,
}));

const apart = (p: kin.Plane, q: readonly number[] | undefined): number =>
  Math.hypot(p.y - (q?.[0] ?? NaN), p.z - (q?.[1] ?? NaN));

it("has vectors", () => expect(vectors.length).toBeGreaterThanOrEqual(5));

describe.each(vectors)("$name", ({ v }) => {
  const train = new kin.Train(v.geometry);

  it("moves as mechanics/motion says", () => {
    for (const p of v.poses) {
      p.pins.forEach((pin, i) =>
        expect(apart(train.crankpin(i, p.angle_deg), pin)).toBeLessThan(1e-12),
      );
      p.cylinders.forEach((c, i) => {
        const pose = train.pose(i, p.angle_deg);
        expect(pose.reached).toBe(true);
        expect(apart(pose.pin, c.pin)).toBeLessThan(1e-12);
        expect(apart(pose.piston, c.piston)).toBeLessThan(1e-12);
        expect(apart(pose.rod, c.rod)).toBeLessThan(1e-9);
        expect(apart(kin.direction(pose.rodAngle), c.rod)).toBeLessThan(1e-9);
      });
    }
  });

  it("adds up the phasors as analysis does", () => {
    const r = v.document;
    // what cancels is compared on the scale of what cancelled
    const scale = Math.max(1, ...v.forces.map((f) => Math.hypot(...f.force_N)));
    const momentScale = Math.max(1, ...v.forces.map((f) => Math.hypot(...f.moment_Nm)));
    for (const f of v.forces) {
      const a = f.angle_deg;
      const got = kin.force(r, a);
      expect(apart(got.sum, f.force_N)).toBeLessThan(1e-9 * scale);
      expect(apart(kin.plus(got.withCrank, got.againstCrank), f.force_N)).toBeLessThan(
        1e-9 * scale,
      );
      expect(apart(kin.moment(r, a).sum, f.moment_Nm)).toBeLessThan(1e-9 * momentScale);
      expect(Math.abs(kin.roll(r, a) - f.roll_Nm)).toBeLessThan(
        1e-9 * Math.max(1, Math.abs(f.roll_Nm)),
      );
      expect(Math.abs(kin.inertiaTorque(r, a) - f.torque_Nm)).toBeLessThan(
        1e-9 * Math.max(1, Math.abs(f.torque_Nm)),
      );
      expect(apart(got.sum, f.whole_force_N)).toBeLessThan(2e-6 * scale + 1e-5);
    }
  });

  it("has parts that add up to the whole", () => {
    for (const a of [0, 33, 250, 611]) {
      const parts = kin.partForces(v.document, a);
      const sum = parts.reduce((s, p) => kin.plus(s, p.force), kin.nothing);
      const largest = Math.max(1, ...parts.map((p) => kin.length(p.force)));
      const whole = kin.force(v.document, a).sum;
      expect(apart(sum, [whole.y, whole.z])).toBeLessThan(1e-9 * largest);
    }
  });

  it("fires at top dead centre", () => {
    v.geometry.cylinders.forEach((c, i) => {
      const f = kin.flashes(train, c.fires_at_deg).find((x) => x.cylinder === i);
      expect(f?.strength).toBeCloseTo(1, 6);
      const at = train.pose(i, c.fires_at_deg).travel;
      expect(train.pose(i, c.fires_at_deg + 2).travel).toBeLessThanOrEqual(at);
      expect(train.pose(i, c.fires_at_deg - 2).travel).toBeLessThanOrEqual(at);
    });
  });

  it("vibrates by the double integral of the force", () => {
    const block = kin.blockOf(v.geometry);
    const ω = (v.document.speed_rpm * Math.PI) / 30;
    const h = 0.25;
    const step = (h * Math.PI) / 180 / ω;
    const peak = Math.max(1, ...kin.trace(v.document).map(kin.length));
    for (const a of [10, 100, 200]) {
      const [p, q, s] = [a - h, a, a + h].map((x) => kin.vibration(v.document, block, x).shift);
      if (!p || !q || !s) throw new Error("no motion");
      const acc = kin.times(
        kin.plus(kin.minus(p, q), kin.minus(s, q)),
        block.massKg / (step * step),
      );
      const f = kin.force(v.document, a).sum;
      expect(apart(acc, [f.y, f.z])).toBeLessThan(2e-3 * peak);
    }
  });
});

it("makes a couple whose moment is the moment", () => {
  const f = kin.couple({ y: 3, z: -4 }, 0.5);
  // M = Σ i x F with +F at x = ¼ and −F at x = −¼
  const m = kin.times(kin.quarter(f), 0.5);
  expect(apart(m, [3, -4])).toBeLessThan(1e-12);
});

it("walks round the ellipse", () => {
  const points = kin.ellipse([3, 0], [1, 0], 360);
  const reach = points.map(kin.length);
  expect(Math.max(...reach)).toBeCloseTo(4, 9);
  expect(Math.min(...reach)).toBeCloseTo(2, 9);
});

it("rounds the exaggeration", () => {
  expect(kin.exaggerationFor([1e-5, 4e-5], 0.006)).toBe(100);
  expect(kin.exaggerationFor([], 0.006)).toBe(1);
});
