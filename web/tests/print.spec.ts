import { expect, test } from "@playwright/test";
import { comparison, few, threeUnlike } from "./machine.ts";
import { fitsAcross, open } from "./open.ts";

test("prints on white, the table in pieces, the reasons open", async ({ page }) => {
  await open(page, comparison);
  await page.emulateMedia({ media: "print" });
  await expect(page.locator("html")).toHaveCSS("background-color", "rgb(255, 255, 255)");
  await expect(page.locator("details li").first()).toBeVisible();
  await expect(page.locator("#comparison")).toBeHidden(); // too wide: it comes in pieces
  await expect(page.locator(".piece").first()).toBeVisible();
  await expect(page.locator(".sheet").first()).toHaveCSS("break-before", "page");
  await fitsAcross(page);
});

test("becomes a PDF with more pages than engines", async ({ page }) => {
  await open(page, few);
  const pdf = await page.pdf({ preferCSSPageSize: true, tagged: true });
  const sheets = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)?.length ?? 0;
  expect(sheets).toBeGreaterThan(2 * threeUnlike.length);
});
