import type { EngineDocument, OrderDoc } from "../api/types";
import { strongestOrder } from "./phasors";

/** Orders that the chooser offers: 1, 2, 4 and 6 always, those chosen, and all that carry something. */
export function ordersOffered(doc: EngineDocument, chosen: number[]): number[] {
  const out = new Set([1, 2, 4, 6, ...chosen]);
  const b = doc.balance;
  for (const o of b.orders) {
    const share = Math.max(
      b.peak_force_N > 0 ? o.force.major_N / b.peak_force_N : 0,
      b.peak_moment_Nm > 0 ? o.moment.major_Nm / b.peak_moment_Nm : 0,
    );
    if (share > 0.002) out.add(o.order);
  }
  return [...out].sort((x, y) => x - y);
}

/** The order of the document, or an empty one: what is left out has no content. */
export function orderDoc(doc: EngineDocument, order: number): OrderDoc {
  return (
    doc.balance.orders.find((o) => o.order === order) ?? {
      order,
      force: { with_crank_N: [0, 0], against_crank_N: [0, 0], major_N: 0, minor_N: 0, axis_deg: 0 },
      moment: {
        with_crank_Nm: [0, 0],
        against_crank_Nm: [0, 0],
        major_Nm: 0,
        minor_Nm: 0,
        axis_deg: 0,
      },
      roll_Nm: [0, 0],
      inertia_torque_Nm: [0, 0],
    }
  );
}

/** The orders whose vectors are drawn: those chosen, else the first two and the strongest. */
export function ordersShown(doc: EngineDocument, chosen: number[]): number[] {
  if (chosen.length > 0) return [...chosen].sort((x, y) => x - y);
  const strong = [strongestOrder(doc, "force"), strongestOrder(doc, "moment")];
  return [...new Set([1, 2, ...strong])].sort((x, y) => x - y);
}
