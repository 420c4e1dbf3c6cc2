import { expect, test } from "@playwright/test";
import { comparison, examples, single } from "./machine.ts";
import { open } from "./open.ts";

test("all examples side by side", async ({ page }) => {
  await open(page, comparison);
  const region = page.locator("#comparison");

  await test.step("the table has a column for each engine", async () => {
    await expect(region.locator("thead th")).toHaveCount(1 + examples.length);
  });

  await test.step("best and worst are words, not colours alone", async () => {
    const marked = region.locator("td.best, td.worst");
    expect(await marked.count()).toBeGreaterThan(10);
    const silent = await marked.evaluateAll(
      (cells) => cells.filter((c) => !/best|worst/.test(c.textContent ?? "")).length,
    );
    expect(silent).toBe(0);
  });

  await test.step("the table scrolls by keyboard, its first column stays", async () => {
    const head = region.locator("tbody th[scope=row]").first();
    const before = await head.boundingBox();
    await region.focus();
    for (let i = 0; i < 5; i++) await page.keyboard.press("ArrowRight");
    await expect.poll(() => region.evaluate((e) => e.scrollLeft)).toBeGreaterThan(50);
    expect((await head.boundingBox())?.x).toBeCloseTo(before?.x ?? -1, 0);
  });

  await test.step("the text in every drawing is large enough to read", async () => {
    const smallest = await page.locator("svg").evaluateAll((figures) =>
      Math.min(
        ...figures.flatMap((f) => {
          const scale =
            f.getBoundingClientRect().width / (f as SVGSVGElement).viewBox.baseVal.width;
          return [...f.querySelectorAll("text")].map(
            (t) => scale * parseFloat(t.getAttribute("font-size") ?? "16"),
          );
        }),
      ),
    );
    expect(smallest).toBeGreaterThanOrEqual(8);
  });
});

test("one engine alone", async ({ page }) => {
  await open(page, single);
  await expect(page.locator("#comparison thead th")).toHaveCount(2);
  await expect(page.locator(".mark")).toHaveCount(0);
});
