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
    list.push(numbers);
  }
  return { list, wrong: "" };
}
