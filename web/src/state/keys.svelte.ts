/** One thing that a key does. */
export interface Command {
  /** Keys as the browser names them, with modifiers in front: "Ctrl+z", "Shift+ArrowRight", "k". */
  keys: string[];
  /** What it does, in words. */
  does: string;
  /** Heading under which the list shows it. */
  group: string;
  run(): void;
}

/** The name of a key press, as commands write it. */
export function nameOf(e: {
  key: string;
  ctrlKey: boolean;
  metaKey: boolean;
  altKey: boolean;
  shiftKey: boolean;
}): string {
  const key = e.key === " " ? "Space" : e.key;
  // A shifted letter or sign already is another key: only named keys carry Shift.
  const shift = e.shiftKey && (key.length > 1 || e.ctrlKey || e.metaKey) ? "Shift+" : "";
  const named = key.length === 1 && (e.ctrlKey || e.metaKey) ? key.toLowerCase() : key;
  return (e.ctrlKey || e.metaKey ? "Ctrl+" : "") + (e.altKey ? "Alt+" : "") + shift + named;
}

/** Whether an element takes this key for itself. */
function takesKey(target: EventTarget | null, name: string): boolean {
  if (!(target instanceof Element)) return false;
  if (target.closest("dialog")) return true;
  const field = target.closest("input, textarea, select, [contenteditable='true'], [data-keys]");
  if (field) {
    const type = field.getAttribute("type");
    if (type === "checkbox" || type === "radio") return /^(Space|Arrow)/.test(name);
    if (type === "range") return /^(Shift\+)?(Arrow|Page|Home|End)/.test(name);
    return true;
  }
  if (name === "Space" || name === "Enter")
    return target.closest("button, a, summary, [role=tab]") !== null;
  return (
    /^(Arrow|Home|End)/.test(name) &&
    target.closest("[role=tablist], [role=radiogroup], [data-scrolls]") !== null
  );
}

const remembered = "crankwright.letters";

function remembers(): boolean {
  try {
    return localStorage.getItem(remembered) !== "off";
  } catch {
    return true;
  }
}

/** All commands that are there now. */
class Keys {
  #commands = $state.raw<Command[]>([]);
  #letters = $state(remembers());

  /** Whether keys of a single letter or sign do something: who speaks to the machine may not want that. */
  get letters(): boolean {
    return this.#letters;
  }
  set letters(on: boolean) {
    this.#letters = on;
    try {
      localStorage.setItem(remembered, on ? "on" : "off");
    } catch {
      // No storage: it counts until the page is closed.
    }
  }

  /** Commands by heading, for the list. */
  get groups(): [string, Command[]][] {
    const out = new Map<string, Command[]>();
    for (const c of this.#commands) out.set(c.group, [...(out.get(c.group) ?? []), c]);
    return [...out];
  }

  /** Adds commands; returns how to take them away. */
  add(commands: Command[]): () => void {
    this.#commands = [...this.#commands, ...commands];
    return () => {
      this.#commands = this.#commands.filter((c) => !commands.includes(c));
    };
  }

  /** Listens to the whole page; returns how to stop. */
  listen(): () => void {
    const press = (e: KeyboardEvent) => {
      if (e.defaultPrevented || e.isComposing) return;
      const name = nameOf(e);
      if (takesKey(e.target, name) || (name.length === 1 && !this.#letters)) return;
      const command = this.#commands.findLast((c) => c.keys.includes(name));
      if (!command) return;
      e.preventDefault();
      command.run();
    };
    addEventListener("keydown", press);
    return () => removeEventListener("keydown", press);
  }
}

export const keys = new Keys();
