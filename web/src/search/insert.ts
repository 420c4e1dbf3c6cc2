// Puts a line into the text of a study, where its kind stands. The text stays the reader's: only whole lines and
// items are added, and where the place cannot be told nothing is done.

/** Where a block such as "vary:" stands in the lines. */
function blockOf(lines: string[], key: string): { at: number; end: number; inline: string } | null {
  const at = lines.findIndex((l) => l.startsWith(`${key}:`));
  if (at < 0) return null;
  let end = at + 1;
  while (end < lines.length && /^(\s+\S|\s*#|-|\s*$)/.test(lines[end] ?? "")) end++;
  // Blank lines and comments at the left edge belong to what follows.
  while (end > at + 1 && /^(#.*|\s*)$/.test(lines[end - 1] ?? "")) end--;
  const inline = (lines[at] ?? "").slice(key.length + 1).replace(/\s+#.*$/, "");
  return { at, end, inline: inline.trim() };
}

/** The text with an item in a block: a line of a map, or an element of a list. Undefined: it cannot be told where. */
export function insertItem(text: string, block: string, item: string): string | undefined {
  const lines = text.split("\n");
  const map = item.includes(": ");
  const found = blockOf(lines, block);
  const key = map ? item.slice(0, item.indexOf(": ")) : item;
  if (!found) {
    const end = text.replace(/\s+$/, "");
    return `${end}${end ? "\n" : ""}${block}:${map ? `\n  ${item}` : ` [${item}]`}\n`;
  }
  const body = lines.slice(found.at, found.end);
  const taken = body.some((l) =>
    l
      .slice(found.inline && l === lines[found.at] ? block.length + 1 : 0)
      .split(/[\s,[\]{}]+/)
      .some((word) => word === key || word === `${key}:`),
  );
  if (taken) return text;
  if (
    found.inline === "" ||
    found.inline === "null" ||
    found.inline === "{}" ||
    found.inline === "[]"
  ) {
    if (found.inline !== "") lines[found.at] = `${block}:`;
    const child = lines.slice(found.at + 1, found.end).find((l) => /^\s*[^\s#]/.test(l));
    const indent = /^\s*/.exec(child ?? "  ")?.[0] ?? "  ";
    lines.splice(found.end, 0, indent + (map ? item : `- ${item}`));
    return lines.join("\n");
  }
  const closing = map ? "}" : "]";
  const line = lines[found.end - 1] ?? "";
  const at = line.lastIndexOf(closing);
  if (at < 0 || !found.inline.startsWith(map ? "{" : "[")) return undefined;
  lines[found.end - 1] = `${line.slice(0, at)}, ${item}${line.slice(at)}`;
  return lines.join("\n");
}
