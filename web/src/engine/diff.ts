/** One line of two texts laid side by side. */
export interface DiffLine {
  kind: "both" | "mine" | "theirs";
  text: string;
}

/** Where two texts differ, with some lines of what they share around each place. */
export function diffLines(theirs: string, mine: string, around = 2): DiffLine[] {
  const a = theirs.split("\n");
  const b = mine.split("\n");
  const all = align(a, b);
  const keep = new Set<number>();
  all.forEach((l, i) => {
    if (l.kind === "both") return;
    for (let j = i - around; j <= i + around; j++) keep.add(j);
  });
  const out: DiffLine[] = [];
  all.forEach((l, i) => {
    if (keep.has(i)) out.push(l);
    else if (keep.has(i - 1)) out.push({ kind: "both", text: "…" });
  });
  return out;
}

/** Longest common subsequence of lines; engine files are short. Very long ones are shown whole. */
function align(a: string[], b: string[]): DiffLine[] {
  if (a.length * b.length > 4e6)
    return [
      ...a.map((text): DiffLine => ({ kind: "theirs", text })),
      ...b.map((text): DiffLine => ({ kind: "mine", text })),
    ];
  const w = b.length + 1;
  const best = new Uint32Array((a.length + 1) * w);
  const at = (i: number, j: number): number => best[i * w + j] ?? 0;
  for (let i = a.length - 1; i >= 0; i--)
    for (let j = b.length - 1; j >= 0; j--)
      best[i * w + j] = a[i] === b[j] ? at(i + 1, j + 1) + 1 : Math.max(at(i + 1, j), at(i, j + 1));
  const out: DiffLine[] = [];
  let i = 0;
  let j = 0;
  while (i < a.length || j < b.length) {
    if (i < a.length && j < b.length && a[i] === b[j]) {
      out.push({ kind: "both", text: a[i] ?? "" });
      i++;
      j++;
    } else if (i < a.length && (j >= b.length || at(i + 1, j) >= at(i, j + 1))) {
      out.push({ kind: "theirs", text: a[i++] ?? "" });
    } else out.push({ kind: "mine", text: b[j++] ?? "" });
  }
  return out;
}
