import { expect, test } from "vitest";
import { ellipseShape } from "./ellipse";

test("a reciprocating force swings along its line", () => {
  const e = ellipseShape({ with: [0, 1], against: [0, 1] }, 1, 60, false);
  expect(e.major).toBeCloseTo(2);
  expect(e.minor).toBeCloseTo(0);
  expect(Math.abs(e.axisDeg)).toBeCloseTo(90);
  expect(e.sum.y).toBeCloseTo(0);
  expect(e.sum.z).toBeCloseTo(1); // 2 cos 60°
});

test("no sum is longer than the longer semi-axis, none shorter than the other", () => {
  const p = { with: [3, 1], against: [-0.5, 2] };
  const e = ellipseShape(p, 2, 0, true);
  let [most, least, at] = [0, Infinity, 0];
  for (let d = 0; d < 360; d += 0.05) {
    const { sum } = ellipseShape(p, 2, d, true);
    const r = Math.hypot(sum.y, sum.z);
    if (r > most) [most, at] = [r, Math.atan2(sum.z, sum.y)];
    least = Math.min(least, r);
  }
  expect(most).toBeCloseTo(e.major, 4);
  expect(least).toBeCloseTo(e.minor, 4);
  const turn = (((at * 180) / Math.PI - e.axisDeg) % 180) + 180;
  expect(Math.min(turn % 180, 180 - (turn % 180))).toBeLessThan(0.2);
});
