import { expect, test } from "@playwright/test";
import { violations } from "./axe.ts";
import { few, threeUnlike } from "./machine.ts";
import { open } from "./open.ts";

// A drawing is one image by its role; the palette test of package draw measures its colours.
const drawings = ["svg > *"];

test("axe finds nothing against levels A and AA", async ({ page }) => {
  await open(page, few);
  await page
    .locator("details")
    .evaluateAll((all) => all.forEach((d) => d.setAttribute("open", "")));
  expect(await violations(page, drawings)).toEqual([]);
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

  const details = page.locator("details:has(li)").first();
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
