import type { SoundDoc } from "../../api/types";

/** Below this under the loudest an order is not drawn [dB]. */
export const shownBelow = 40;

/** One order as bars: all groups together, then each group. */
export interface LevelRow {
  order: number;
  hz: number;
  /** Level [dB] and length of the bar, 0 to 1; null: below what is drawn. */
  bars: ({ dB: number; share: number } | null)[];
}

/**
 * Levels as bars over a range below the loudest of all. Orders in which nothing is heard have no row;
 * one group is the same as all together and is not drawn twice.
 */
export function levelRows(sound: SoundDoc): { top: number; rows: LevelRow[] } {
  const alone = sound.groups.length < 2;
  const levels = sound.orders.map((o) => [o.level_dB, ...(alone ? [] : o.groups_level_dB)]);
  const loudest = Math.max(-Infinity, ...levels.flat().map((v) => v ?? -Infinity));
  if (!Number.isFinite(loudest)) return { top: 0, rows: [] };
  const top = Math.ceil(loudest / 5) * 5 + 0; // no minus zero
  const bar = (v: number | null | undefined) =>
    v === null || v === undefined || v <= top - shownBelow
      ? null
      : { dB: v, share: 1 - (top - v) / shownBelow };
  const rows = sound.orders.map((o, i) => ({
    order: o.order,
    hz: o.frequency_Hz,
    bars: (levels[i] ?? []).map(bar),
  }));
  return { top, rows: rows.filter((r) => r.bars.some((b) => b !== null)) };
}
