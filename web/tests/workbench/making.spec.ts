import { writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "@playwright/test";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { engine, expect, test } from "./bench.ts";

const four = "inline-four-flat";
const own = "opposed-four-own-pins";

test.use({ engines: [four, own], contextOptions: { reducedMotion: "reduce" } });

const panel = (page: Page, section: string, name: string) =>
  page.locator(`#${section}`).getByRole("tabpanel", { name, exact: true });

test("room: three views to scale, what comes near, what sets the length", async ({
  page,
  bench,
}) => {
  await page.goto(`${bench.address}${engine(four)}?space=room`);
  const room = panel(page, "space", "Room");
  await room.scrollIntoViewIfNeeded();
  await expect(room.getByRole("img", { name: /^From the drive end: / })).toBeVisible();
  await expect(room.getByRole("img", { name: /^From above.*542 by/ })).toBeVisible();
  await expect(
    room.getByRole("rowheader", { name: "rod shank to lower edge of bore" }),
  ).toBeVisible();
});

test("cost: an own price table counts, a broken one says where", async ({ page, bench, watch }) => {
  watch.expected = /422.*cost$/; // the table that is wrong on purpose
  await page.goto(`${bench.address}${engine(own)}?parts=cost`);
  const cost = panel(page, "parts", "Cost");
  await cost.scrollIntoViewIfNeeded();
  await expect(cost.getByText(/The cost index is 1\.19\b/)).toBeVisible();
  await expect(cost.getByText(/invented points/).first()).toBeVisible();
  await cost.getByText("Price table", { exact: true }).click();
  const table = cost.getByLabel("Price table");
  const text = await table.inputValue();
  await table.fill(text.replace("reference: 825", "reference: 1650"));
  await cost.getByRole("button", { name: "Use these prices" }).click();
  await expect(cost.getByText(/The cost index is 0\.597/)).toBeVisible();
  await table.fill(text.replace("reference: 825", "reference: none"));
  await cost.getByRole("button", { name: "Use these prices" }).click();
  await expect(cost.getByText(/the price table cannot be used/)).toBeVisible();
  await cost.getByRole("button", { name: "Back to the table as it was" }).click();
  await expect(cost.getByText(/The cost index is 1\.19\b/)).toBeVisible();
  writeFileSync(
    join(bench.folder, "half.prices.yaml"),
    text.replace("reference: 825", "reference: 412.5"),
  );
  await page.reload();
  await cost.scrollIntoViewIfNeeded();
  await cost.getByRole("combobox", { name: "Prices" }).selectOption("half.prices.yaml");
  await expect(cost.getByText(/The cost index is 2\.39\b/)).toBeVisible();
});

test("mass: the engine stands in its glass, and the parts add up", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(four)}?space=mass`);
  const mass = panel(page, "space", "Mass");
  await mass.scrollIntoViewIfNeeded();
  await expect(mass.getByLabel(/with what stands round its crank train as glass/)).toBeVisible();
  await expect(mass.getByRole("rowheader", { name: "heads" })).toBeVisible();
});

test("bore against stroke: the present bore lies among those tried", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(four)}?space=bore`);
  const bore = panel(page, "space", "Bore against stroke");
  await bore.scrollIntoViewIfNeeded();
  await expect(
    bore.getByRole("img", { name: /Length, width and height over the bore/ }),
  ).toBeVisible();
  await expect(bore.getByText(/A millimetre of bore at this displacement/)).toBeVisible();
});

for (const [section, id, label] of [
  ["space", "room", "Room"],
  ["space", "mass", "Mass"],
  ["space", "bore", "Bore against stroke"],
  ["parts", "list", "Parts"],
  ["parts", "cost", "Cost"],
  ["parts", "service", "Service and cooling"],
] as const)
  test(`${section} ${id} is sound for those who do not see it, and fits a narrow page`, async ({
    page,
    bench,
  }) => {
    await page.goto(`${bench.address}${engine(own)}?${section}=${id}`);
    const tool = panel(page, section, label);
    await tool.scrollIntoViewIfNeeded();
    await expect(tool.locator("svg, table, button, p").first()).toBeVisible();
    expect(await violations(page)).toEqual([]);
    await page.setViewportSize({ width: 390, height: 844 });
    await fitsAcross(page);
  });
