import { readFileSync } from "node:fs";
import { expect, test } from "vitest";

const css = readFileSync("src/styles/palette.css", "utf8");
const go = readFileSync("../draw/palette.go", "utf8");

function goTheme(name: string): Record<string, string> {
  const body = new RegExp(`func ${name}\\(\\) theme \\{([\\s\\S]*?)\\n\\}`).exec(go)?.[1] ?? "";
  return Object.fromEntries(
    [...body.matchAll(/(\w+): hex\("(#[0-9a-f]{6})"\)/g)].map((m) => [m[1], m[2]]),
  );
}

function cssTheme(start: string): Record<string, string> {
  const from = css.indexOf(start);
  const body = css.slice(from, css.indexOf("}", from));
  return Object.fromEntries(
    [...body.matchAll(/--cw-(\w+): (#[0-9a-f]{6})/g)].map((m) => [m[1], m[2]]),
  );
}

test("the colours are those of the figures", () => {
  expect(Object.keys(goTheme("lightTheme"))).toHaveLength(11);
  expect(cssTheme(":root {")).toEqual(goTheme("lightTheme"));
  expect(cssTheme(':root[data-theme="dark"] {')).toEqual(goTheme("darkTheme"));
});
