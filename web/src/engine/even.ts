import type { Edit, EngineDocument, Field } from "../api/types";
import { cycleDeg } from "./cycle";
import { degrees } from "./numbers";
import { readList, writeList } from "./quantity";

/** A change that alone would make the engine fire evenly, and the edits that make it. */
export interface EvenChange {
  label: string;
  edits: Edit[];
}

/** The file's own firing order may not suit the changed crank: it is left to be chosen again. */
function withoutOrder(fields: Field[]): Edit[] {
  return fields.some((f) => f.path === "layout.firing_order" && f.given)
    ? [{ path: "layout.firing_order" }]
    : [];
}

export function evenChanges(doc: EngineDocument, fields: Field[]): EvenChange[] {
  const e = doc.firing.even_firing;
  if (doc.firing.evenness > 1 - 1e-9) return [];
  const again = withoutOrder(fields);
  const out: EvenChange[] = [];
  if (e.possible && again.length > 0)
    out.push({ label: `Take the order ${e.best_order.join("-")}`, edits: orderEdit(e.best_order) });
  if (doc.arrangement === "vee") {
    for (const c of e.pin_splits)
      out.push({
        label: `Pin split ${degrees(c.to_deg)}`,
        edits: [{ path: "layout.pin_split", text: `${c.to_deg} deg` }, ...again],
      });
    for (const c of e.bank_angles)
      out.push({
        label: `Bank angle ${degrees(c.to_deg)}`,
        edits: [{ path: "layout.bank_angle", text: `${c.to_deg} deg` }, ...again],
      });
  }
  for (const t of e.turned_throws) {
    const edits = turnEdits(doc, fields, t.throw, t.to_deg);
    if (edits)
      out.push({ label: `Throw ${t.throw} to ${degrees(t.to_deg)}`, edits: [...edits, ...again] });
  }
  return out;
}

function turnEdits(doc: EngineDocument, fields: Field[], name: string, to: number): Edit[] | null {
  if (doc.arrangement === "custom") {
    const i = fields
      .filter((f) => /^layout\.throws\[\d+\]\.name$/.test(f.path))
      .findIndex((f) => f.text.replaceAll('"', "") === name);
    return i < 0 ? null : [{ path: `layout.throws[${i}].angle`, text: `${to} deg` }];
  }
  const m = /^T(\d+)$/.exec(name);
  const pins = fields.find((f) => f.path === "layout.pins");
  if (!m || !pins) return null;
  const list = readList(pins.text);
  const items = list?.items ?? throwAngles(doc);
  const at = Number(m[1]) - 1;
  if (at < 0 || at >= items.length) return null;
  return [
    {
      path: "layout.pins",
      text: writeList(
        items.map((x, i) => (i === at ? String(to) : x)),
        list?.unit || "deg",
      ),
    },
  ];
}

/** Angles of the throws in the order of their names. */
function throwAngles(doc: EngineDocument): string[] {
  const byThrow = new Map<string, number>();
  for (const c of doc.cylinders) byThrow.set(c.throw, c.throw_angle_deg);
  return [...byThrow]
    .sort(([a], [b]) => a.localeCompare(b, undefined, { numeric: true }))
    .map(([, d]) => String(d));
}

/** The edit that sets a firing order; names that are not plain numbers are quoted. */
export function orderEdit(order: string[]): Edit[] {
  const items = order.map((n) => (/^\d+$/.test(n) ? n : JSON.stringify(n)));
  return [{ path: "layout.firing_order", text: writeList(items, "") }];
}

/** The edits that give a custom engine a firing order: the angle at which each of its cylinders fires. */
export function firesAtEdits(
  doc: EngineDocument,
  fields: Field[],
  o: { order: string[]; intervals_deg: number[] },
): Edit[] {
  const cycle = cycleDeg(doc);
  const names = fields
    .filter((f) => /^layout\.cylinders\[\d+\]\.name$/.test(f.path))
    .map((f) => f.text.replace(/^["'](.*)["']$/, "$1"));
  let at = doc.cylinders.find((c) => c.name === o.order[0])?.fires_at_deg ?? 0;
  return o.order.flatMap((name, i) => {
    if (i > 0) at += o.intervals_deg[i - 1] ?? 0;
    const index = names.indexOf(name);
    if (index < 0) return [];
    const text = `${Number((((at % cycle) + cycle) % cycle).toFixed(3))} deg`;
    return [{ path: `layout.cylinders[${index}].fires_at`, text }];
  });
}
