import { expect, test, type Page } from "@playwright/test";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type axe from "axe-core";
import { few, threeUnlike } from "./machine.ts";
import { open } from "./open.ts";

const axeSource = readFileSync(
  createRequire(import.meta.url).resolve("axe-core/axe.min.js"),
  "utf8",
);

/** What axe finds against levels A and AA and good practice, one line a rule and place. */
async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    const run = (window as unknown as { axe: typeof axe }).axe.run;
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
    // A drawing is one image by its role; the palette test of package draw measures its colours.
    const where = { include: ["html"], exclude: ["svg > *"] };
    const result = await run(where, {
      runOnly: { type: "tag", values: tags },
      resultTypes: ["violations"],
    });
    return result.violations.flatMap((v) =>
      v.nodes.slice(0, 5).map((n) => `${v.id}: ${n.target.join(" ")}: ${n.failureSummary ?? ""}`),
    );
  });
}

test("axe finds nothing against levels A and AA", async ({ page }) => {
  await open(page, few);
  await page
    .locator("details")
    .evaluateAll((all) => all.forEach((d) => d.setAttribute("open", "")));
  expect(await violations(page)).toEqual([]);
});

test("every drawing has a name", async ({ page }) => {
  await open(page, few);
  const all = await page.locator("svg").count();
  expect(all).toBeGreaterThan(7 * threeUnlike.length);
  await expect(page.getByRole("img", { name: /\S/ })).toHaveCount(all);
});

test("the keyboard reaches the content, the reasons and the colours", async ({ page }) => {
  await open(page, few);
  await page.keyboard.press("Tab");
  await expect(page.locator(".skip")).toBeFocused();
  await expect(page.locator(".skip")).toBeInViewport();
  await page.keyboard.press("Enter");
  await expect(page.locator("main")).toBeFocused();

  const details = page.locator("details").first();
  await details.locator("summary").focus();
  await page.keyboard.press("Enter");
  await expect(details).toHaveAttribute("open", "");
  await expect(details.locator("li").first()).toBeVisible();

  const colours = () =>
    page.evaluate(() => [
      getComputedStyle(document.documentElement).backgroundColor,
      getComputedStyle(document.querySelector("svg .cw-f-ink") ?? document.body).fill,
    ]);
  await page.getByLabel("light", { exact: true }).check();
  const light = await colours();
  await page.keyboard.press("ArrowRight");
  await expect(page.getByLabel("dark", { exact: true })).toBeChecked();
  const dark = await colours();
  expect(dark[0]).not.toBe(light[0]);
  expect(dark[1]).not.toBe(light[1]);
});

test("nothing moves for readers who ask for less motion", async ({ page }) => {
  await open(page, few); // the configuration asks for less motion
  await expect(page.locator("html")).toHaveCSS("scroll-behavior", "auto");
  expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
});
