import type { EngineView, PartsDoc } from "../../api/types";
import type { Tool } from "../balance/tool.svelte";
import type { EngineSession } from "../session.svelte";

/** What a tool of the section on parts and cost is given. */
export interface MakingProps {
  session: EngineSession;
  view: EngineView;
  /** Parts, service and cooling, which two tools show. */
  tool: Tool<object, PartsDoc>;
  active: boolean;
}

export type PartRow = PartsDoc["parts"][number];

/** Parts by group, in the order in which groups come. */
export function byGroup(parts: readonly PartRow[]): { group: string; rows: PartRow[] }[] {
  const out = new Map<string, PartRow[]>();
  for (const p of parts) out.set(p.group, [...(out.get(p.group) ?? []), p]);
  return [...out].map(([group, rows]) => ({ group, rows }));
}

/** A count with its unit: pieces without one. */
export function counted(p: Pick<PartRow, "count" | "unit">): string {
  return p.unit === "m" ? `${p.count.toFixed(2)} m` : String(p.count);
}

/** Sides from which the places of a job are reached, as words. */
export function sides(from: PartsDoc["service"]["jobs"][number]["from"]): string {
  return from.map((s) => `${s.places_1} ${s.side}`).join(", ");
}
