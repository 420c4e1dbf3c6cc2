import type { Field } from "../../api/types";

const titles: Record<string, string> = {
  engine: "Engine",
  layout: "Layout",
  "rod-piston": "Rod and piston",
  crank: "Crank",
  balance: "Balance",
  firing: "Firing",
  speeds: "Speeds",
  gas: "Gas",
};

export interface Chapter {
  id: string;
  title: string;
  fields: Field[];
}

/** Fields by chapter in the order in which they come, those that match the words typed. */
export function chaptersOf(fields: Field[], find: string): Chapter[] {
  const words = find.toLowerCase().split(/\s+/).filter(Boolean);
  const out = new Map<string, Field[]>();
  // A list whose elements have fields of their own is shown as those.
  const whole = new Set(
    fields.flatMap((f) => {
      const at = f.path.indexOf("[");
      return at > 0 && /\]\./.test(f.path)
        ? [f.path.slice(0, at), f.path.replace(/\[\d+\]\.[^[\]]*$/, "")]
        : [];
    }),
  );
  for (const f of fields) {
    if (f.kind === "list" && whole.has(f.path)) continue;
    const text = `${f.label} ${f.path} ${titles[f.chapter] ?? f.chapter}`.toLowerCase();
    if (!words.every((w) => text.includes(w))) continue;
    out.set(f.chapter, [...(out.get(f.chapter) ?? []), f]);
  }
  return [...out].map(([id, list]) => ({ id, title: titles[id] ?? id, fields: list }));
}

/** Id of a field's control in the page. */
export function fieldId(path: string): string {
  return `field-${path.replaceAll(/[^a-zA-Z0-9_-]/g, "-")}`;
}
