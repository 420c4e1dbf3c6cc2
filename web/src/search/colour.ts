import type { Colour } from "./paint";

/** A colour of the page as numbers. */
export function colourOf(role: string): Colour {
  const text = getComputedStyle(document.documentElement).getPropertyValue(`--cw-${role}`).trim();
  const n = Number.parseInt(text.slice(1), 16);
  return [(n >> 16) & 255, (n >> 8) & 255, n & 255];
}
