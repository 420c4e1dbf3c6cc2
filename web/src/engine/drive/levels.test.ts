import { expect, test } from "vitest";
import type { SoundDoc } from "../../api/types";
import { levelRows } from "./levels";

type Order = SoundDoc["orders"][number];
const order = (n: number, ear: number | null, groups: (number | null)[]): Order => ({
  order: n,
  frequency_Hz: 50 * n,
  level_dB: ear,
  groups_level_dB: groups,
});
const doc = (groups: number, orders: Order[]): SoundDoc =>
  ({ groups: Array.from({ length: groups }, () => ({})), orders }) as unknown as SoundDoc;

test("bars run over 40 dB below the loudest; an order without a bar has no row", () => {
  const { top, rows } = levelRows(
    doc(2, [
      order(0.5, null, [-12, null]),
      order(1, null, [null, null]),
      order(2, -2, [-8, -42]),
      order(3, -60, [-70, -70]),
    ]),
  );
  expect(top).toBe(0);
  expect(rows.map((r) => r.order)).toEqual([0.5, 2]);
  expect(rows[0]?.bars).toEqual([null, { dB: -12, share: 0.7 }, null]);
  expect(rows[1]?.bars.map((b) => b?.share)).toEqual([0.95, 0.8, undefined]);
});

test("one group is drawn once, louder than an even engine or not; silence has no rows", () => {
  const loud = levelRows(doc(1, [order(2, 3, [3])]));
  expect(loud.top).toBe(5);
  expect(loud.rows[0]?.bars).toEqual([{ dB: 3, share: 0.95 }]);
  expect(levelRows(doc(1, [order(2, null, [null])]))).toEqual({ top: 0, rows: [] });
});
