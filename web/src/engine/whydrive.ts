import type { EngineDocument, Field } from "../api/types";
import { degrees, digits, quantity } from "./numbers";
import { field, type Why } from "./why";

/** Why a main number of gas and torque is what it is; null where the number is none of them. */
export function whyDrive(key: string, doc: EngineDocument, fields: Field[]): Why | null {
  const { torque: t, friction: f } = doc;
  if (!t || !f) return null;
  const point = [
    { name: "speed", value: quantity(t.speed_rpm, "rpm", 5) },
    { name: "load", value: quantity(t.load_pct, "%") },
  ];
  switch (key) {
    case "mean_torque":
      return {
        formula: "W / θ of the cycle",
        words:
          "The indicated work of all cylinders in a cycle over the angle of the cycle. Inertia has no mean: what it takes it gives back.",
        inputs: [
          { name: "W, work of a cycle", value: quantity(t.work_J, "J", 4) },
          { name: "mean effective pressure, net", value: quantity(t.imep_bar, "bar", 4) },
          ...field(fields, "gas.compression_ratio", "compression ratio"),
          ...field(fields, "gas.air_ratio", "air ratio"),
          ...field(fields, "gas.half_burned", "half of the heat released at"),
          ...point,
        ],
        source: t.measured
          ? "the measured pressure of the file"
          : "single-zone cycle (HEYWOOD, sec. 14.4) with wall heat after WOSCHNI",
      };
    case "brake_torque":
    case "brake_power":
      return {
        formula: key === "brake_torque" ? "mean torque − friction" : "brake torque · ω",
        words: "What remains at the drive end when friction has taken its part.",
        inputs: [
          { name: "mean torque of the gas", value: quantity(t.mean_Nm, "N m", 4) },
          { name: "friction", value: quantity(f.torque_Nm, "N m", 4) },
          { name: "brake mean effective pressure", value: quantity(t.bmep_bar, "bar", 4) },
          ...point,
        ],
        source: "definition",
      };
    case "friction_mep":
      return {
        formula: "indicated − brake mean effective pressure",
        words: `Engines of the kind scatter from ${digits(f.low_bar)} to ${quantity(f.high_bar, "bar")}.`,
        inputs: [
          ...field(fields, "friction.by", "taken from"),
          ...field(fields, "friction.factor", "factor"),
          ...(f.parts_over_inline_four_1
            ? [
                {
                  name: "what rubs here over what rubs in an in-line four",
                  value: digits(f.parts_over_inline_four_1),
                },
              ]
            : []),
          {
            name: "pumping, counted by the gas and taken out",
            value: quantity(f.pumping_taken_out_bar, "bar"),
          },
          ...point,
        ],
        source: "the tool Power names the correlation and where it is published",
      };
    case "peak_torque":
      return {
        formula: "max over θ of ( T gas + T inertia )",
        words: "Of all cylinders together at constant crank speed.",
        inputs: [
          { name: "found at crank angle", value: degrees(t.largest_at_deg) },
          { name: "least torque", value: quantity(t.least_Nm, "N m", 4) },
          ...point,
        ],
        source: "virtual work",
      };
    case "torque_unevenness":
    case "inertia_share":
      return {
        formula:
          key === "inertia_share" ? "rms T inertia / rms T gas" : "√ mean of ( T − mean of T )²",
        words:
          "How far the torque is from even, as the root mean square about its mean. Gas and inertia may cancel in part.",
        inputs: [
          { name: "gas", value: quantity(t.share.gas_rms_Nm, "N m", 4) },
          { name: "inertia", value: quantity(t.share.inertia_rms_Nm, "N m", 4) },
          { name: "together", value: quantity(t.share.total_rms_Nm, "N m", 4) },
          ...(t.share.equal_rpm
            ? [{ name: "gas and inertia equal at", value: quantity(t.share.equal_rpm, "rpm", 4) }]
            : []),
          ...point,
        ],
        source: "definition",
      };
    case "impulses":
      return {
        formula: "count",
        words: "Stretches over two revolutions in which the torque lies above its mean.",
        inputs: t.impulses.map((p) => ({
          name: `${quantity(p.peak_Nm, "N m", 4)} at ${degrees(p.at_deg)}`,
          value: `${degrees(p.gap_deg)} to the next`,
        })),
        source: "definition",
      };
    case "speed_fluctuation":
      return {
        formula: "( ω max − ω min ) / ω mean",
        words:
          "From the exact energy equation, in which the inertia of pistons and rods varies with the crank angle.",
        inputs: [
          { name: "slowest", value: quantity(t.crank_speed.least_rpm, "rpm", 5) },
          { name: "fastest", value: quantity(t.crank_speed.most_rpm, "rpm", 5) },
          { name: "excess of energy", value: quantity(t.crank_speed.excess_J, "J", 4) },
          ...field(fields, "crank.inertia", "crank"),
          ...field(fields, "flywheel.inertia", "flywheel"),
          ...field(fields, "flywheel.driven_inertia", "driven machine"),
          ...point,
        ],
        source: "conservation of energy",
      };
    case "flywheel_inertia":
      return {
        formula: "J flywheel with which the fluctuation is the wanted one",
        words:
          "At this speed and full load; another speed needs another. 0 where the crank alone is enough.",
        inputs: [
          ...field(fields, "flywheel.fluctuation", "wanted fluctuation"),
          { name: "excess of energy", value: quantity(t.crank_speed.excess_J, "J", 4) },
          ...field(fields, "crank.inertia", "crank"),
          ...field(fields, "flywheel.driven_inertia", "driven machine"),
          ...point,
        ],
        source: "conservation of energy",
      };
    default:
      return null;
  }
}
