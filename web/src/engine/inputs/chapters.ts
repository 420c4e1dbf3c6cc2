import type { EstimateDoc, Field } from "../../api/types";

const titles: Record<string, string> = {
  engine: "Engine",
  layout: "Layout",
  "rod-piston": "Rod and piston",
  crank: "Crank",
  balance: "Balance",
  firing: "Firing",
  speeds: "Speeds",
  gas: "Gas",
  friction: "Friction",
  strength: "Strength",
  bearings: "Bearings",
  torsion: "Torsion",
  space: "Space and mass",
  mounts: "Mounts and people",
  making: "Making",
};

/** Long chapters that are closed while the file says nothing of them. */
const folded = ["gas", "friction", "strength", "bearings", "torsion", "space", "mounts", "making"];

export interface Chapter {
  id: string;
  title: string;
  fields: Field[];
}

/** Fields by chapter in the order in which they come, those that match the words typed. */
export function chaptersOf(fields: Field[], find: string): Chapter[] {
  const words = find.toLowerCase().split(/\s+/).filter(Boolean);
  const out = new Map<string, Field[]>();
  for (const f of fields) {
    const text = `${f.label} ${f.path} ${titles[f.chapter] ?? f.chapter}`.toLowerCase();
    if (!words.every((w) => text.includes(w))) continue;
    out.set(f.chapter, [...(out.get(f.chapter) ?? []), f]);
  }
  return [...out].map(([id, list]) => ({ id, title: titles[id] ?? id, fields: list }));
}

/** Whether a chapter is closed until it is wanted. */
export function closedAtFirst(c: Chapter): boolean {
  return folded.includes(c.id) && c.fields.every((f) => !f.given);
}

/** Id of a field's control in the page. */
export function fieldId(path: string): string {
  return `field-${path.replaceAll(/[^a-zA-Z0-9_-]/g, "-")}`;
}

/** How many inputs are estimated: those of the crank train, which the result counts, and those of the chapters after it. */
export function estimatedWords(fields: Field[], ofTrain: EstimateDoc[] | undefined): string {
  const estimated = fields.filter((f) => !f.given && f.rule);
  if (!ofTrain) return `estimated: ${estimated.length}`;
  const keys = new Set(ofTrain.map((e) => e.key));
  const train = estimated.filter((f) => keys.has(f.path)).length;
  return `estimated: ${train} of the crank train, ${estimated.length - train} of the chapters after it`;
}
