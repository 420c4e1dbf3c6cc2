/**
 * Reads a list of places typed as numbers in millimetres: the coordinates of one with commas between, one
 * place after the other with semicolons.
 */
export function readPlaces(text: string, each: 1 | 2): { list: number[][]; wrong: string } {
  const list: number[][] = [];
  for (const part of text.split(";")) {
    if (part.trim() === "") continue;
    const numbers = part
      .split(",")
      .map((n) => (n.trim() === "" ? NaN : Number(n.replace("−", "-"))));
    if (numbers.length !== each || numbers.some((n) => !Number.isFinite(n)))
      return {
        list: [],
        wrong: `“${part.trim()}” is no place; give ${
          each === 2 ? "y and z in mm, such as 60, -40; -60, -40" : "x in mm, such as -100; 0; 100"
        }.`,
      };
    const far = numbers.find((n) => Math.abs(n) > 1e5);
    if (far !== undefined) return { list: [], wrong: `${far} mm is farther than 100 m away.` };
    list.push(numbers);
    const most = each === 2 ? 24 : 12;
    if (list.length > most) return { list: [], wrong: `Give at most ${most} places.` };
  }
  return { list, wrong: "" };
}
