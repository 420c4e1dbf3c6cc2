import { params, readOne, withValues, type Name, type Param, type Values } from "./params";

/** One state of the address. It changes only when its own text does: a moving angle disturbs nobody else. */
function cell<T>(query: () => URLSearchParams, p: Param<T>): { readonly value: T } {
  const text = $derived(query().get(p.key));
  const value = $derived(readOne(p, text));
  return {
    get value() {
      return value;
    },
  };
}

/** Where the reader is, and what is set there. */
class Url {
  #path = $state(typeof location === "undefined" ? "/" : location.pathname);
  #query = $state(typeof location === "undefined" ? "" : location.search);
  #parsed = $derived(new URLSearchParams(this.#query));
  readonly #values = this.#cells();

  /** Path of the page. */
  get path(): string {
    return this.#path;
  }

  /** Query of the address, with its question mark. */
  get query(): string {
    return this.#query;
  }

  /** All states, typed, with their fallbacks. */
  get values(): Values {
    return this.#values;
  }

  /**
   * Changes states. A step that the reader may want back becomes an entry in the history; what moves
   * all the time (a slider, the crank) replaces the entry.
   */
  set(changes: Partial<Values>, how: "step" | "move" = "step"): void {
    const query = withValues(this.#query, changes);
    if (query === this.#query) return;
    this.#query = query;
    this.#write(how);
  }

  /** Goes to a page; states that belong to all pages stay. */
  go(path: string, changes: Partial<Values> = {}): void {
    this.visit(path, withValues(this.#query, changes));
  }

  /** Follows a link inside the workbench. */
  visit(path: string, query: string): void {
    if (path === this.#path && query === this.#query) return;
    const away = path !== this.#path;
    this.#path = path;
    this.#query = query;
    this.#write("step");
    if (away) scrollTo(0, 0);
  }

  /** The address of a page with states changed, for links. */
  href(path: string, changes: Partial<Values> = {}): string {
    return path + withValues(this.#query, changes);
  }

  /** Follows back and forward, and says when that happened; returns how to stop. */
  listen(moved: () => void = () => undefined): () => void {
    const read = () => {
      clearTimeout(this.#late);
      this.#path = location.pathname;
      this.#query = location.search;
      moved();
    };
    addEventListener("popstate", read);
    return () => removeEventListener("popstate", read);
  }

  #cells(): Values {
    const out = {};
    for (const name of Object.keys(params) as Name[]) {
      const one = cell<unknown>(() => this.#parsed, params[name] as Param<unknown>);
      Object.defineProperty(out, name, { enumerable: true, get: () => one.value });
    }
    return out as Values;
  }

  #late: ReturnType<typeof setTimeout> | undefined;

  #write(how: "step" | "move"): void {
    clearTimeout(this.#late);
    const put = () => {
      const to = this.#path + this.#query;
      if (how === "step") history.pushState(null, "", to);
      else history.replaceState(null, "", to);
    };
    // Browsers refuse more than a hundred or so entries in half a minute: movement is written late.
    if (how === "step") put();
    else this.#late = setTimeout(put, 150);
  }
}

export const url = new Url();
