import { getSources } from "../api/calls";
import type { Source } from "../api/types";

/** A source in one line: authors, title, year. */
export function cite(s: Source): string {
  return [s.authors, s.title, s.year].filter(Boolean).join(", ");
}

/** The list of sources, read once when the first of them is to be named. */
class Sources {
  #all = $state.raw<Source[]>([]);
  #asked = false;

  /** The source of a key in full; the key itself until the list is there, or where it lacks it. */
  name(key: string): string {
    if (!this.#asked) {
      this.#asked = true;
      getSources().then(
        (list) => (this.#all = list),
        () => (this.#asked = false),
      );
    }
    const s = this.#all.find((x) => x.key === key);
    return s ? cite(s) : key;
  }
}

export const sources = new Sources();
