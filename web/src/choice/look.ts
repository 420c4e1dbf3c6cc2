// How the parts of a score look, the same as in the figures of package draw: four colours, each plain,
// slanted, striped or hollow.

const colours = ["with", "against", "third", "fourth"] as const;
const patterns = ["plain", "slanted", "hollow", "striped"] as const;

/** The style of the k-th priority's part of a bar. */
export function partLook(k: number): string {
  const ink = `var(--cw-${colours[k % 4] ?? "with"})`;
  const fill = {
    plain: ink,
    slanted: `repeating-linear-gradient(135deg, ${ink} 0 2px, var(--cw-paper) 2px 5px)`,
    striped: `repeating-linear-gradient(0deg, ${ink} 0 1.5px, var(--cw-paper) 1.5px 4px)`,
    hollow: "var(--cw-paper)",
  }[patterns[(k + Math.floor(k / 4)) % 4] ?? "plain"];
  return `background:${fill};box-shadow:inset 0 0 0 1.5px ${ink}`;
}
