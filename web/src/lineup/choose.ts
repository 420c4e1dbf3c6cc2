import type { EngineEntry } from "../api/types";

/** Most engines that stand side by side. */
export const most = 6;

/**
 * The engines to begin with when nobody chose: those with the number of cylinders that most files
 * share, because they compete; one arrangement after the other, because they differ.
 */
export function firstChoice(engines: EngineEntry[], count = 4): string[] {
  const sound = engines.filter((e) => e.problems === 0);
  if (sound.length <= count) return sound.map((e) => e.file);
  const sizes = new Map<number, number>();
  for (const e of sound) sizes.set(e.cylinders, (sizes.get(e.cylinders) ?? 0) + 1);
  const common = [...sizes].sort((a, b) => b[1] - a[1] || b[0] - a[0])[0]?.[0];
  const rivals = sound.filter((e) => e.cylinders === common);
  const others = sound.filter((e) => e.cylinders !== common);
  return [...inTurn(rivals), ...inTurn(others)].slice(0, count).map((e) => e.file);
}

/** Engines one arrangement after the other. */
function inTurn(engines: EngineEntry[]): EngineEntry[] {
  const kinds = new Map<string, EngineEntry[]>();
  for (const e of engines) {
    const kind = e.arrangement ?? "";
    kinds.set(kind, [...(kinds.get(kind) ?? []), e]);
  }
  const out: EngineEntry[] = [];
  for (let i = 0; out.length < engines.length; i++)
    for (const list of kinds.values()) if (list[i]) out.push(list[i] as EngineEntry);
  return out;
}

/** A list with one item moved by some places. */
export function moved<T>(list: T[], from: number, by: number): T[] {
  const to = Math.min(list.length - 1, Math.max(0, from + by));
  const out = [...list];
  const [item] = out.splice(from, 1);
  if (item !== undefined) out.splice(to, 0, item);
  return out;
}
