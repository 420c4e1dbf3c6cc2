import type { ContributionDoc } from "../../api/types";

// Shapes that the figures share; all places are on the paper, y downwards.

/** Outline of a hollow arrow from (0, 0) along +x, so long. */
export function blockArrow(length: number): string {
  const k = Math.min(1, length / 22);
  const shaft = length - 13 * k;
  return `M0 ${-3.2 * k}H${shaft}V${-8 * k}L${length} 0L${shaft} ${8 * k}V${3.2 * k}H0Z`;
}

/** Head of a plain arrow with its tip at (0, 0), pointing along +x. */
const arrowHead = "M0 0L-9 -4V4Z";

/** Mark at the end of a part's vector, by kind, centred on the tip. */
export function markOf(kind: ContributionDoc["kind"]): string {
  switch (kind) {
    case "throw":
      return "M-4 -4H4V4H-4Z";
    case "counterweight":
      return "M0 -5.5L5.5 0L0 5.5L-5.5 0Z";
    case "shaft":
      return "M-4.5 0A4.5 4.5 0 1 0 4.5 0A4.5 4.5 0 1 0 -4.5 0Z";
    case "cylinder":
      return arrowHead;
  }
}

export function paintOf(kind: ContributionDoc["kind"], withCrank: boolean): string {
  if (kind === "throw" || kind === "counterweight") return "third";
  if (kind === "shaft") return "fourth";
  return withCrank ? "with" : "against";
}

export function few(names: string[], most = 4): string {
  if (names.length <= most) return names.join(", ");
  return `${names.slice(0, most - 1).join(", ")} +${names.length - most + 1}`;
}

/** Angle on the paper in degrees of a vector that points up for +z. */
export function paperAngle(y: number, z: number): number {
  return (Math.atan2(-z, y) * 180) / Math.PI;
}

export function bankPaint(bank: number): string {
  return ["with", "against", "third", "fourth"][((bank % 4) + 4) % 4] ?? "with";
}
