/** One cycle of a four-stroke engine [deg]: what the common clock runs over. */
const cycle = 720;

/** The angle in 0 up to 720. */
export function wrap(deg: number): number {
  const r = deg % cycle;
  return r < 0 ? r + cycle : r + 0;
}

/**
 * The next of some angles after a place, or the one before it, over the cycle. Angles within a
 * hundredth of a degree count as the place itself. undefined: there is none.
 */
export function nextOf(angles: number[], from: number, direction: 1 | -1): number | undefined {
  let best: number | undefined;
  let least = Infinity;
  for (const a of angles) {
    const ahead = wrap(direction * (a - from));
    const away = ahead < 0.01 || ahead > cycle - 0.01 ? cycle : ahead;
    if (away < least) {
      least = away;
      best = wrap(a);
    }
  }
  return best;
}

/** Top dead centres over the whole cycle, from those of one turn. */
export function overCycle(tdc: number): number[] {
  const a = wrap(tdc);
  return [a % 360, (a % 360) + 360];
}
