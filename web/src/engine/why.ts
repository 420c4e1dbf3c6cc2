import type { EngineDocument, Field } from "../api/types";
import { degrees, quantity } from "./numbers";
import { ellipseOf, ordinal, orderOf, type Quantity } from "./phasors";

// Where each main number comes from: the formula, what stood in it, and the source. Every value here is
// one of the document or of the inputs; nothing is computed.

export interface Why {
  formula: string;
  /** What the formula says, in words. */
  words: string;
  inputs: { name: string; value: string; estimated?: string }[];
  source: string;
}

const notation = "docs/notation.md";

/** An input with its value, and its rule where it is estimated. */
export function field(fields: Field[], path: string, name: string): Why["inputs"] {
  const f = fields.find((x) => x.path === path);
  if (!f?.text) return [];
  const estimated = f.given
    ? undefined
    : [f.rule, f.source && `(${f.source})`].filter(Boolean).join(" ");
  return [{ name, value: f.text, ...(estimated ? { estimated } : {}) }];
}

function massInputs(doc: EngineDocument, fields: Field[]): Why["inputs"] {
  const masses = [...new Set(doc.cylinders.map((c) => quantity(c.reciprocating_kg, "kg", 4)))];
  return [
    { name: "m, reciprocating mass of a cylinder", value: masses.slice(0, 3).join(", ") },
    ...field(fields, "stroke", "2r, stroke"),
    ...field(fields, "rod.length", "l, rod length"),
    ...field(fields, "piston.mass", "piston mass"),
    ...field(fields, "rod.mass", "rod mass"),
    { name: "speed", value: quantity(doc.speed_rpm, "rpm", 5) },
  ];
}

function freeOrder(doc: EngineDocument, fields: Field[], q: Quantity, order: number): Why {
  const o = orderOf(doc, order);
  const e = o ? ellipseOf(o, q) : { major: 0, minor: 0, axisDeg: 0 };
  const unit = q === "force" ? "N" : "N m";
  const w = q === "force" ? o?.force.with_crank_N : o?.moment.with_crank_Nm;
  const a = q === "force" ? o?.force.against_crank_N : o?.moment.against_crank_Nm;
  const complex = (c: readonly number[] | undefined): string =>
    c ? `${quantity(c[0] ?? 0, unit)} in y, ${quantity(c[1] ?? 0, unit)} in z` : "0";
  return {
    formula: "|W⁺| + |W⁻|",
    words: `The longer semi-axis of the ellipse that the ${ordinal(order)} order describes: the vector that turns with the crank and the one that turns against it, when they meet. Each is the sum over all parts${q === "moment" ? ", every force times its distance from the reference" : ""}.`,
    inputs: [
      { name: "W⁺, with the crank", value: complex(w) },
      { name: "W⁻, against the crank", value: complex(a) },
      { name: "direction of the longer semi-axis, from y", value: degrees(e.axisDeg) },
      ...(q === "moment"
        ? [{ name: "reference", value: quantity(doc.balance.reference_mm, "mm") }]
        : []),
      ...massInputs(doc, fields),
    ],
    source: `exact motion, ${notation}: Plane vectors and orders`,
  };
}

function peak(doc: EngineDocument, fields: Field[], q: Quantity): Why {
  const unit = q === "force" ? "N" : "N m";
  const top = doc.balance.orders
    .map((o) => ({ order: o.order, major: ellipseOf(o, q).major }))
    .filter((o) => o.major > 0)
    .sort((x, y) => y.major - x.major)
    .slice(0, 4);
  return {
    formula: "max over θ of | Σₙ ( W⁺ₙ eⁱⁿᶿ + W⁻ₙ e⁻ⁱⁿᶿ ) |",
    words:
      "The largest resultant of all orders together in the plane across the crank, refined between samples.",
    inputs: [
      {
        name: "found at crank angle",
        value: degrees(
          q === "force" ? doc.balance.peak_force_at_deg : doc.balance.peak_moment_at_deg,
        ),
      },
      ...top.map((o) => ({
        name: `${ordinal(o.order)} order at most`,
        value: quantity(o.major, unit),
      })),
      ...massInputs(doc, fields),
    ],
    source: notation,
  };
}

/** Why a main number is what it is; null where there is nothing to say beyond the number. */
export function whyOf(key: string, doc: EngineDocument, fields: Field[]): Why | null {
  const order = /^free_(force|moment)_order_([\d_.]+)$/.exec(key);
  if (order?.[1] && order[2])
    return freeOrder(doc, fields, order[1] as Quantity, Number(order[2].replace("_", ".")));
  const against = /^(force|moment)_order_1_against_crank$/.exec(key);
  if (against?.[1]) {
    const q = against[1] as Quantity;
    return {
      ...freeOrder(doc, fields, q, 1),
      formula: "2 |W⁻|",
      words:
        "What is left of the first order when counterweights are at their best: they turn with the crank and take all of W⁺, but never W⁻, which turns the other way.",
    };
  }
  switch (key) {
    case "peak_free_force":
      return peak(doc, fields, "force");
    case "peak_free_moment":
      return peak(doc, fields, "moment");
    case "peak_inertia_torque":
      return {
        formula: "T(θ) = −dE_kin/dθ",
        words:
          "The torque that pistons and rods exert on the crank when it turns at constant speed: what they give back when they slow down and take when they are sped up. No gas is in it.",
        inputs: [
          { name: "found at crank angle", value: degrees(doc.balance.peak_inertia_torque_at_deg) },
          { name: "root mean square", value: quantity(doc.balance.rms_inertia_torque_Nm, "N m") },
          ...massInputs(doc, fields),
          ...field(fields, "rod.inertia", "J, rod inertia"),
        ],
        source: notation,
      };
    case "peak_roll_moment":
      return {
        formula: "R(θ) = −T − dHₓ/dθ · ω",
        words:
          "The moment about the crank that cylinder walls and bearings put on the block because of inertia. It differs from −T by what the swinging rods hold as angular momentum.",
        inputs: [
          { name: "found at crank angle", value: degrees(doc.balance.peak_roll_at_deg) },
          {
            name: "error of the two-mass view",
            value: quantity(doc.two_mass.roll_error_Nm, "N m"),
          },
          ...field(fields, "rod.inertia", "J, rod inertia"),
        ],
        source: notation,
      };
    case "firing_evenness":
      return {
        formula: "cycle² / ( N Σ interval² )",
        words: "1 where all intervals are the same, 1/N where all cylinders fire at once.",
        inputs: [
          { name: "intervals", value: doc.firing.intervals_deg.map((d) => degrees(d)).join(", ") },
          { name: "N, cylinders", value: String(doc.cylinders.length) },
        ],
        source: "definition",
      };
    case "longest_firing_interval":
    case "shortest_firing_interval":
      return {
        formula: key.startsWith("longest") ? "max interval" : "min interval",
        words: "Crank angle from one firing top dead centre to the next, from the true geometry.",
        inputs: doc.firing.order.map((name, i) => ({
          name: `${name} at ${degrees(doc.firing.at_deg[i] ?? 0)}`,
          value: `${degrees(doc.firing.intervals_deg[i] ?? 0)} to the next`,
        })),
        source: "definition",
      };
    case "neighbours_in_succession":
      return {
        formula: "count",
        words: "Pairs next to each other in one bank that fire one after the other.",
        inputs: doc.firing.neighbours_in_succession.map((p) => ({
          name: "pair",
          value: p.join(" then "),
        })),
        source: "definition",
      };
    case "displacement":
      return {
        formula: "Σ π/4 · bore² · stroke",
        words: "Of all cylinders, each with its true stroke.",
        inputs: [
          ...field(fields, "bore", "bore"),
          ...field(fields, "stroke", "stroke"),
          { name: "cylinders", value: String(doc.cylinders.length) },
        ],
        source: "definition",
      };
    case "mean_piston_speed":
      return {
        formula: "2 · stroke · speed",
        words: "Largest of all cylinders.",
        inputs: [
          ...field(fields, "stroke", "stroke"),
          { name: "speed", value: quantity(doc.speed_rpm, "rpm", 5) },
        ],
        source: "definition",
      };
    default:
      return null;
  }
}
