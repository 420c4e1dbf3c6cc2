import type { Edit, Field } from "../../api/types";

// Lists whose elements are things with values of their own: throws, cylinders, counterweights, balance
// shafts and their masses. The file's text edits everything; here one part is added or taken out.

export interface Parts {
  /** What one part is called. */
  noun: string;
  /** Those that there are: how they are named, and the edits that take them out. */
  items: { name: string; remove: Edit[] }[];
  /** The edits that add one; undefined: the list stands in a form that takes none. */
  add: Edit[] | undefined;
}

const nouns: [RegExp, string][] = [
  [/^balance_shafts$/, "balance shaft"],
  [/\.masses$/, "mass"],
  [/^crank\.counterweights$/, "counterweight"],
  [/^layout\.throws$/, "throw"],
  [/^layout\.cylinders$/, "cylinder"],
];

/** The parts of a list field; undefined where it is no list of parts. */
export function partsOf(list: Field, fields: Field[]): Parts | undefined {
  const noun = nouns.find(([path]) => path.test(list.path))?.[1];
  if (!noun || list.kind !== "list") return undefined;
  // A whole rule stands in the place of the list: "{balance_factor: 50 %}".
  if (list.given && /^\s*\{/.test(list.text)) return undefined;
  const count = countOf(list.path, fields);
  const value = (i: number, key: string) =>
    fields.find((f) => f.path === `${list.path}[${i}].${key}`);
  const items = Array.from({ length: count }, (_, i) => ({
    name: value(i, "name")?.text || String(i + 1),
    remove: count === 1 ? [{ path: list.path }] : [{ path: `${list.path}[${i}]` }],
  }));
  const text = one(
    noun,
    count,
    items.map((i) => i.name),
    value,
  );
  return { noun, items, add: text ? [{ path: `${list.path}[${count}]`, text }] : undefined };
}

function countOf(path: string, fields: Field[]): number {
  let n = 0;
  while (fields.some((f) => f.path.startsWith(`${path}[${n}]`))) n++;
  return n;
}

/** A new part as it stands in the file: one that changes nothing until it is given its values. */
function one(
  noun: string,
  count: number,
  names: string[],
  value: (i: number, key: string) => Field | undefined,
): string | undefined {
  const mass = "{at: 0 mm, angle: 0 deg, unbalance: 0 kg mm}";
  switch (noun) {
    case "balance shaft":
      return `{speed_ratio: -1, y: 80 mm, z: 0 mm, masses: [${mass}]}`;
    case "mass":
    case "counterweight":
      return mass;
  }
  const last = (key: string) => value(count - 1, key);
  const before = value(count - 2, "at")?.value;
  const at = last("at")?.value;
  if (count === 0 || at === undefined) return undefined;
  // One step farther than the last one, as the last one was from the one before.
  const step = before === undefined ? 0.1 : at - before;
  const place = `${Number((1000 * (at + step)).toPrecision(6))} mm`;
  const given = (key: string) => {
    const f = last(key);
    return f?.given && f.text ? [`${key}: ${f.text}`] : [];
  };
  const name = `name: ${JSON.stringify(nextName(names))}`;
  if (noun === "throw")
    return `{${[name, `at: ${place}`, ...given("angle"), ...given("radius"), ...given("unbalance")].join(", ")}}`;
  return `{${[name, ...given("throw"), `at: ${place}`, ...given("axis"), ...given("fires_at"), ...given("bank")].join(", ")}}`;
}

/** The name after the last one, which none has: 5 after 4, C after B. */
function nextName(names: string[]): string {
  const last = names.at(-1) ?? "";
  const number = /^(.*?)(\d+)$/.exec(last);
  let n = number ? Number(number[2]) + 1 : names.length + 1;
  const letter = /^[A-Ya-y]$/.test(last) ? String.fromCharCode(last.charCodeAt(0) + 1) : "";
  let name = letter || `${number?.[1] ?? ""}${n}`;
  while (names.includes(name)) name = `${number?.[1] ?? ""}${++n}`;
  return name;
}
