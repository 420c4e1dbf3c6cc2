// Every state that matters is in the address. One table says what there is: its name in the address,
// what it is when the address says nothing, and how it is read and written.

/** How one state is read from the address and written into it. */
export interface Param<T> {
  key: string;
  fallback: T;
  /** undefined: the text says nothing that is understood. */
  read(text: string): T | undefined;
  write(value: T): string;
}

export const views = ["free", "drive-end", "side", "top", "section", "flat"] as const;
export type View = (typeof views)[number];

export const arrowKinds = ["resultant", "couple", "parts", "pistons", "weights", "shafts"] as const;
export type ArrowKind = (typeof arrowKinds)[number];

const balanceTools = [
  "counterweights",
  "shafts",
  "bobweights",
  "residual",
  "tolerances",
  "matching",
] as const;

const driveTools = ["curves", "gas", "power", "flywheel"] as const;
const crankTools = ["room", "bearings", "strength", "torsion"] as const;
const spaceTools = ["room", "mass", "bore"] as const;
const partTools = ["list", "cost", "service"] as const;
export const choicePictures = [
  "ranks",
  "ranks-any",
  "trade-off",
  "weights",
  "scores",
  "flips",
] as const;
export type ChoicePicture = (typeof choicePictures)[number];
const mountTools = ["modes", "forces", "better", "people"] as const;
/** torque: that of inertia alone. */
export const curveKinds = [
  "force",
  "moment",
  "total",
  "gas",
  "torque",
  "crank-speed",
  "roll",
] as const;
export type CurveKind = (typeof curveKinds)[number];

export const themes = ["system", "light", "dark"] as const;
export type Theme = (typeof themes)[number];

/** Seconds that one turn of the crank takes on the screen. */
export const paces = [1, 2, 4, 8, 20] as const;

const ending = ".engine.yaml";
const briefEnding = ".brief.yaml";
const studyEnding = ".study.yaml";

/** A file without its ending, where it can be told from the rest. */
function shortened(file: string, ending: string): string {
  const short = file.endsWith(ending) ? file.slice(0, -ending.length) : file;
  return lengthened(short, ending) === file ? short : file;
}

function lengthened(short: string, ending: string): string {
  return short === "" || /\.ya?ml$/.test(short) ? short : short + ending;
}

/** The name of a file as it stands in an address. */
export const shortFile = (file: string): string => shortened(file, ending);

/** The file that a short name stands for. */
export const fullFile = (short: string): string => lengthened(short, ending);

function oneOf<T extends string>(key: string, words: readonly T[], fallback: T): Param<T> {
  return {
    key,
    fallback,
    read: (t) => words.find((w) => w === t),
    write: (v) => v,
  };
}

function listOf<T extends string>(key: string, words: readonly T[], fallback: T[]): Param<T[]> {
  return {
    key,
    fallback,
    read: (t) => words.filter((w) => t.split(",").includes(w)),
    write: (v) => words.filter((w) => v.includes(w)).join(",") || "none",
  };
}

/** A number; of one, the address tells so many parts. */
function number(
  key: string,
  fallback: number,
  least: number,
  most: number,
  parts = 1000,
): Param<number> {
  const rounded = (v: number) => Math.round(v * parts) / parts;
  return {
    key,
    fallback,
    read: (t) => {
      const v = t.trim() === "" ? NaN : Number(t);
      return Number.isFinite(v) ? rounded(Math.min(most, Math.max(least, v))) : undefined;
    },
    write: (v) => String(rounded(v)),
  };
}

function flag(key: string, fallback: boolean): Param<boolean> {
  return {
    key,
    fallback,
    read: (t) => (t === "on" ? true : t === "off" ? false : undefined),
    write: (v) => (v ? "on" : "off"),
  };
}

function text(key: string, fallback: string): Param<string> {
  return { key, fallback, read: (t) => t, write: (v) => v };
}

/** A file of one kind, whose ending the address leaves out. */
function fileWith(key: string, ending: string): Param<string> {
  return {
    key,
    fallback: "",
    read: (t) => lengthened(t, ending),
    write: (v) => shortened(v, ending),
  };
}

function files(key: string, most: number): Param<string[]> {
  return {
    key,
    fallback: [],
    read: (t) => [...new Set(t.split(",").filter(Boolean).map(fullFile))].slice(0, most),
    write: (v) => v.map(shortFile).join(","),
  };
}

const orders: Param<number[]> = {
  key: "order",
  fallback: [],
  read: (t) =>
    [
      ...new Set(
        t
          .split(",")
          .filter(Boolean)
          .map(Number)
          .filter((n) => n > 0 && n <= 12 && Number.isInteger(2 * n)),
      ),
    ].sort((a, b) => a - b),
  write: (v) =>
    [...v]
      .sort((a, b) => a - b)
      .map(String)
      .join(","),
};

/** Names may have the comma that divides them. */
const names: Param<string[]> = {
  key: "off",
  fallback: [],
  read: (t) => [
    ...new Set(
      t
        .split(",")
        .filter(Boolean)
        .map((n) => n.replaceAll("%2C", ",").replaceAll("%25", "%")),
    ),
  ],
  write: (v) => v.map((n) => n.replaceAll("%", "%25").replaceAll(",", "%2C")).join(","),
};

export const params = {
  /** Files of the engines shown; none: the workbench chooses. */
  show: files("show", 6),
  /** File of the engine that the others are measured against; none: no differences. */
  baseline: fileWith("base", ending),
  /** Common speed [rpm]; 0: each at the speed in its file. */
  speed: number("speed", 0, 0, 30000),
  /** Crank angle while paused [deg]. */
  angle: number("angle", 0, 0, 720),
  /** Orders that the arrows take in; none: all. */
  orders,
  arrows: listOf("arrows", arrowKinds, ["resultant", "couple"]),
  view: oneOf("view", views, "free"),
  /** Turning one engine turns all. */
  linked: flag("linked", true),
  trace: flag("trace", true),
  flashes: flag("flash", true),
  /** Vibration of the block, exaggerated. */
  shake: flag("shake", false),
  /** Seconds a turn. */
  pace: number("pace", 4, 0.5, 60),
  theme: oneOf("theme", themes, "system"),
  /** Which curves are drawn. */
  curve: oneOf("curve", curveKinds, "force"),
  /** Tool of the balancing section. */
  tool: oneOf("tool", balanceTools, "counterweights"),
  /** Tool of the section on gas and torque. */
  drive: oneOf("drive", driveTools, "curves"),
  /** Tool of the section on crank and bearings. */
  crank: oneOf("crank", crankTools, "room"),
  /** Tool of the section on mounts and people. */
  mounts: oneOf("mounts", mountTools, "modes"),
  /** Tool of the section on room and mass. */
  space: oneOf("space", spaceTools, "room"),
  /** Tool of the section on parts and cost. */
  parts: oneOf("parts", partTools, "list"),
  /** Load of these sections [%]: brake torque over that of full load; 0 runs light. */
  load: number("load", 100, 0, 100),
  /** Cylinders that are switched off there. */
  off: names,
  /** Brief of the choice; none: the first of the folder. */
  brief: fileWith("brief", briefEnding),
  /** Files of the engines that are chosen from; none: all. */
  among: files("among", 500),
  /** Picture of the choice. */
  picture: oneOf("picture", choicePictures, "ranks"),
  /** Study of the search; none: the first of the folder. */
  study: fileWith("study", studyEnding),
  /** What is brushed there, as search/brush.ts writes it. */
  brush: text("brush", ""),
  /** What is asked of the candidates there: a filter in trade words. */
  filter: text("filter", ""),
  /** Criteria of the trade-off, and figures of the search, by key; none: the first that tell the engines apart. */
  across: text("across", ""),
  upward: text("upward", ""),
  /** Seed of the draws of the choice. */
  seed: number("seed", 1, 1, 999_999_999, 1),
  /** Section of the engine page, for its own use. */
  section: text("section", ""),
  /** Filters of the evidence page. */
  find: text("find", ""),
  chapter: text("chapter", ""),
  kind: text("kind", ""),
  state: text("state", ""),
} as const;

export type Params = typeof params;
export type Name = keyof Params;
export type Value<N extends Name> = Params[N] extends Param<infer T> ? T : never;
export type Values = { [N in Name]: Value<N> };

/** What a text in the address stands for; null: the address says nothing. */
export function readOne<T>(p: Param<T>, text: string | null): T {
  return (text === null ? undefined : p.read(text)) ?? p.fallback;
}

/** Reads all states from the query of an address. */
export function readAll(query: string): Values {
  const q = new URLSearchParams(query);
  const out: Record<string, unknown> = {};
  for (const [name, p] of Object.entries(params) as [Name, Param<unknown>][]) {
    out[name] = readOne(p, q.get(p.key));
  }
  return out as Values;
}

/**
 * The query with some states changed. A state at its fallback is left out; keys that the table does
 * not know stay.
 */
export function withValues(query: string, changes: Partial<Values>): string {
  const q = new URLSearchParams(query);
  for (const [name, value] of Object.entries(changes)) {
    const p = params[name as Name] as Param<unknown>;
    const t = p.write(value);
    if (t === p.write(p.fallback) || t === "") q.delete(p.key);
    else q.set(p.key, t);
  }
  const s = q.toString().replaceAll("%2C", ",");
  return s ? "?" + s : "";
}
