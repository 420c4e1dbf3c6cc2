import type { Page } from "@playwright/test";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { engine, expect, test } from "./bench.ts";

const four = "inline-four-flat";
const mounted = "inline-four-flat-shafts";
const own = "opposed-four-own-pins";

test.use({ engines: [four, mounted, own], contextOptions: { reducedMotion: "reduce" } });

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
  await expect(cost.getByText(/The cost index is 1\.2\b/)).toBeVisible();
  await expect(cost.getByText(/invented points/).first()).toBeVisible();
  await cost.getByText("Price table", { exact: true }).click();
  const table = cost.getByLabel("Price table");
  const text = await table.inputValue();
  await table.fill(text.replace("reference: 825", "reference: 1650"));
  await cost.getByRole("button", { name: "Use these prices" }).click();
  await expect(cost.getByText(/The cost index is 0\.599/)).toBeVisible();
  await table.fill(text.replace("reference: 825", "reference: none"));
  await cost.getByRole("button", { name: "Use these prices" }).click();
  await expect(cost.getByText(/the price table cannot be used/)).toBeVisible();
  await cost.getByRole("button", { name: "Back to the invented ones" }).click();
  await expect(cost.getByText(/The cost index is 1\.2\b/)).toBeVisible();
});

test("mounts that are found go into the file", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(four)}?mounts=better`);
  const better = panel(page, "mounts", "Better mounts");
  await better.scrollIntoViewIfNeeded();
  await better.getByRole("button", { name: /search|find|look/i }).click();
  await expect(better.getByText(/a search, no proof|judged/i).first()).toBeVisible();
  await better
    .getByRole("button", { name: /into the file/ })
    .first()
    .click();
  await expect.poll(() => bench.read(four)).toContain("isolators:");
});

test("people: what a hand feels stands against action and limit values", async ({
  page,
  bench,
}) => {
  await page.goto(`${bench.address}${engine(mounted)}?mounts=people`);
  const people = panel(page, "mounts", "People");
  await people.scrollIntoViewIfNeeded();
  await expect(people.getByText("gear lever").first()).toBeVisible();
  await expect(people.getByText(/decided by measurement/).first()).toBeVisible();
});

for (const [section, param, id, label] of [
  ["space", "space", "room", "Room"],
  ["space", "space", "mass", "Mass"],
  ["space", "space", "bore", "Bore against stroke"],
  ["parts", "parts", "list", "Parts"],
  ["parts", "parts", "cost", "Cost"],
  ["parts", "parts", "service", "Service and cooling"],
  ["mounts", "mounts", "modes", "Modes"],
  ["mounts", "mounts", "forces", "Forces"],
  ["mounts", "mounts", "better", "Better mounts"],
  ["mounts", "mounts", "people", "People"],
] as const)
  test(`${section} ${id} is sound for those who do not see it, and fits a narrow page`, async ({
    page,
    bench,
  }) => {
    await page.goto(`${bench.address}${engine(mounted)}?${param}=${id}`);
    const tool = panel(page, section, label);
    await tool.scrollIntoViewIfNeeded();
    await expect(tool.locator("svg, table, button, p").first()).toBeVisible();
    expect(await violations(page)).toEqual([]);
    await page.setViewportSize({ width: 390, height: 844 });
    await fitsAcross(page);
  });
