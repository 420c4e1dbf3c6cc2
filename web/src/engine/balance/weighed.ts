/** What a list of weighed parts looks like for an engine: its own masses, scattered a little. */
export function weighedExample(
  cylinders: readonly { reciprocating_kg: number; rotating_kg: number }[],
): string {
  const lines = ["kind,id,mass,big end,small end"];
  // A fixed scatter: the example is the same every time.
  const scatter = (i: number, k: number) => 1 + 0.006 * Math.sin(2.4 * i + k);
  cylinders.forEach((c, i) => {
    const piston = 1000 * c.reciprocating_kg * 0.72 * scatter(i, 0);
    lines.push(`piston,P${i + 1},${piston.toFixed(1)} g,,`);
  });
  cylinders.forEach((c, i) => {
    const big = 1000 * c.rotating_kg * scatter(i, 2);
    const small = 1000 * c.reciprocating_kg * 0.28 * scatter(i, 4);
    lines.push(`rod,R${i + 1},,${big.toFixed(1)} g,${small.toFixed(1)} g`);
  });
  return `${lines.join("\n")}\n`;
}
