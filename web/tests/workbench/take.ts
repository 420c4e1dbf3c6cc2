import { expect, type Page } from "@playwright/test";
import { readFile } from "node:fs/promises";

/** What a click hands to the reader. */
export async function take(
  page: Page,
  click: () => Promise<void>,
  timeout = 20_000,
): Promise<{ name: string; bytes: Buffer }> {
  const coming = page.waitForEvent("download", { timeout });
  await click();
  const download = await coming;
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

const kinds: Record<string, (b: Buffer) => boolean> = {
  svg: (b) => /^(<\?xml[^>]*>\s*)?<svg[\s>]/.test(head(b)),
  png: (b) => b.subarray(0, 8).equals(Buffer.from("89504e470d0a1a0a", "hex")),
  pdf: (b) => head(b).startsWith("%PDF-"),
  glb: (b) => head(b).startsWith("glTF") && b.readUInt32LE(8) === b.length,
  html: (b) => /^<!doctype html>/i.test(head(b)),
  csv: (b) => /^\uFEFF?[^\r\n,]+(,[^\r\n]*)+\r?\n/.test(b.toString("utf8")),
  yaml: (b) => b.length > 0,
  webm: (b) => b.subarray(0, 4).equals(Buffer.from("1a45dfa3", "hex")),
  mp4: (b) => b.subarray(4, 8).toString("latin1") === "ftyp",
};

function head(b: Buffer): string {
  return b.subarray(0, 400).toString("utf8");
}

/** Holds what was handed out to what its name says that it is. */
export function holds({ name, bytes }: { name: string; bytes: Buffer }, ending: RegExp): void {
  const kind = name.slice(name.lastIndexOf(".") + 1);
  expect(kind, name).toMatch(ending);
  expect(bytes.length, name).toBeGreaterThan(100);
  expect(kinds[kind]?.(bytes), `${name} begins ${JSON.stringify(head(bytes).slice(0, 60))}`).toBe(
    true,
  );
}
