import type { Field } from "../api/types";

/** Fields of some sections of the file that it leaves out, as rows of what is assumed. */
export function assumedIn(fields: Field[], sections: RegExp) {
  return fields
    .filter((f) => sections.test(f.path) && f.rule && !f.given)
    .map((f) => ({ key: f.path, shown: f.text, rule: f.rule ?? "", source: f.source ?? "" }));
}
