/** Hands a file to the reader. */
export function saveBlob(blob: Blob, name: string): void {
  const href = URL.createObjectURL(blob);
  const a = document.createElement("a");
  a.href = href;
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(href), 60_000);
}

/** Hands a text to the reader as a file. */
export function saveText(text: string, type: string, name: string): void {
  saveBlob(new Blob([text], { type: `${type};charset=utf-8` }), name);
}

/** A name that every file system takes. */
export function fileName(text: string): string {
  return text
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, "-")
    .replaceAll(/^-+|-+$/g, "");
}

/** Rows as CSV by RFC 4180. */
export function toCsv(rows: (string | number)[][]): string {
  const cell = (c: string | number) => {
    const s = String(c);
    return /[",\r\n]/.test(s) ? `"${s.replaceAll('"', '""')}"` : s;
  };
  return rows.map((r) => r.map(cell).join(",")).join("\r\n") + "\r\n";
}
