// The candidates that were kept, as the server sends them for pictures.

import { fetchGood } from "../api/client";
import type { StudyPointsHead } from "../api/types";

export interface Points {
  head: StudyPointsHead;
  /** Numbers of the candidates; they grow, or come generation by generation where evolution chose them. */
  index: Float64Array;
  columns: Float32Array[];
}

/** Reads the length of the header, the header, the numbers of the candidates, and a column after the other. */
export function parsePoints(data: ArrayBuffer): Points {
  if (data.byteLength < 4) throw new Error("the points are cut off");
  const length = new DataView(data).getUint32(0, true);
  let at = 4 + length;
  if (at % 8 !== 0 || at > data.byteLength) throw new Error("the points have no header");
  const head = JSON.parse(
    new TextDecoder().decode(new Uint8Array(data, 4, length)),
  ) as StudyPointsHead;
  const rest = head.count * (8 + 4 * head.columns.length);
  if (data.byteLength !== at + rest) throw new Error("the points are cut off");
  const index = new Float64Array(data, at, head.count);
  at += 8 * head.count;
  const columns = head.columns.map(() => {
    // A copy of its own, which can go to the worker.
    const column = new Float32Array(data, at, head.count).slice();
    at += 4 * head.count;
    return column;
  });
  return { head, index, columns };
}

export async function getPoints(file: string, columns: string[], most: number): Promise<Points> {
  const query = new URLSearchParams({ most: String(most) });
  if (columns.length > 0) query.set("columns", columns.join(","));
  const path = `/api/studies/${encodeURIComponent(file)}/points?${query}`;
  return parsePoints(await (await fetchGood(path)).arrayBuffer());
}
