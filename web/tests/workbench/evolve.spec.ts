import type { Page } from "@playwright/test";
import { readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { expect, test } from "./bench.ts";

const four = "inline-four-flat";
const file = "cranks.study.yaml";

/** 120³ cranks of an inline four at six bores. */
const many = `name: Cranks of a four
base: ${four}.engine.yaml
vary:
  layout.pins: {all: 3 deg, twins: apart}
  bore: [80, 82, 84, 86, 88, 90] mm
minimise: [free_force_order_1, free_moment_order_1]
maximise: [firing_evenness]
`;
const few = many.replace("3 deg", "45 deg").replace(/ {2}bore.*\n/, "");

test.use({ engines: [four], contextOptions: { reducedMotion: "reduce" } });

const front = (page: Page) => page.getByRole("region", { name: "Table of the front" });
const button = (page: Page, name: string) => page.getByRole("button", { name, exact: true });
const how = (page: Page, name: string) => page.getByRole("radio", { name });
const ended = (page: Page) => page.getByText(/were looked at, chosen by evolution: what was not/);

/** Chooses evolution and opens its numbers. */
async function byEvolution(page: Page, numbers: Record<string, number>): Promise<void> {
  await how(page, "A part, by evolution").check();
  const panel = page.locator("details", { hasText: /candidates in generations of/ });
  if ((await panel.getAttribute("open")) === null)
    await panel.getByText(/candidates in generations of/).click();
  for (const [name, value] of Object.entries(numbers))
    await page.getByRole("spinbutton", { name }).fill(String(value));
}

test("a part is searched by evolution, goes on, and never says that nothing was left out", async ({
  page,
  bench,
}) => {
  writeFileSync(join(bench.folder, file), many);
  await page.goto(`${bench.address}/search`);
  await byEvolution(page, { "Candidates to look at": 0 });
  await expect(page.getByText(/give a whole number from 1 on/)).toBeVisible();
  await expect(button(page, "Run")).toBeDisabled();
  await byEvolution(page, {
    "Candidates to look at": 1200,
    "Candidates of a generation": 40,
    Seed: 3,
  });
  await button(page, "Run").click();
  await expect(ended(page)).toBeVisible({ timeout: 60_000 });
  await expect(page.getByText(/^1.200 of 10.368.000 candidates were looked at/)).toBeVisible();
  await expect(page.getByText(/30 generations of 40, seed 3: the same seed/)).toBeVisible();
  await expect(page.getByText(/Nothing was left out/)).toHaveCount(0);
  await expect(front(page).getByRole("row").nth(1)).toBeVisible();
  await expect(page.getByRole("navigation", { name: "Studies" })).toContainText(
    /kept, 1.200 of 10.368.000 looked at/,
  );
  await expect(page.getByRole("group", { name: "Parallel coordinates" })).toBeVisible();

  // The page comes back as it was, and proposes to look at twice as many.
  await page.reload();
  await expect(how(page, "A part, by evolution")).toBeChecked();
  await expect(page.getByText(/2.400 candidates in generations of 40, seed\s+3/)).toBeVisible();
  await button(page, "Go on").click();
  await expect(page.getByText(/^2.400 of 10.368.000 candidates were/)).toBeVisible({
    timeout: 60_000,
  });
  // No more than were looked at is nothing to go on with.
  await byEvolution(page, { "Candidates to look at": 2400 });
  await expect(page.getByText(/^To go on, give more candidates/)).toBeVisible();
  await expect(button(page, "Go on")).toBeDisabled();

  await front(page)
    .getByRole("button", { name: /^Candidate/ })
    .first()
    .click();
  await expect(page.getByRole("dialog")).toContainText(/What the search found/);
});

test("it stops, and goes on where it was", async ({ page, bench }) => {
  writeFileSync(join(bench.folder, file), many);
  await page.goto(`${bench.address}/search`);
  await byEvolution(page, {
    "Candidates to look at": 400_000,
    "Generations without a change": 100_000,
  });
  await button(page, "Run").click();
  const course = page.getByRole("status").filter({ hasText: /Generation \d+/ });
  await expect(course).toContainText(/of at most 400.000 looked at, a front of \d+/);
  await expect(course).toContainText(/in a second/);
  await expect(how(page, "Every candidate")).toHaveCount(0);
  await button(page, "Stop").click();
  await expect(course).toContainText("stopped");
  await expect(page.getByText(/^So far .* ruled out \+ .* kept/)).toBeVisible();
  const generation = async () => Number(/Generation (\d+)/.exec(await course.innerText())?.[1]);
  const before = await generation();
  await button(page, "Go on").click();
  await expect.poll(generation, { timeout: 30_000 }).toBeGreaterThan(before + 1);
  await button(page, "Stop").click();
  await expect(course).toContainText("stopped");
});

test("results of the other kind are set aside, and a small space is searched whole", async ({
  page,
  bench,
}) => {
  writeFileSync(join(bench.folder, file), few);
  await page.goto(`${bench.address}/search`);
  await button(page, "Run").click();
  await expect(page.getByText(/^Nothing was left out: 512/)).toBeVisible({ timeout: 60_000 });
  await byEvolution(page, { "Generations without a change": 1000 });
  await expect(page.getByText(/of a search of every candidate; running anew sets/)).toBeVisible();
  await expect(page.getByText(/looking at every one is better here/)).toBeVisible();
  await button(page, "Run anew").click();
  await expect(page.getByText(/It ended because every candidate was looked at/)).toBeVisible({
    timeout: 60_000,
  });
  await expect(page.getByText(/^Nothing was left out: 512 = /)).toBeVisible();
  await expect(button(page, "Go on")).toBeDisabled();
  expect(readdirSync(join(bench.folder, ".crankwright", "results"))).toHaveLength(1);
  await how(page, "Every candidate").check();
  await expect(page.getByText(/with seed 1 and generations of 100; running anew/)).toBeVisible();
  await button(page, "Run anew").click();
  await expect(page.getByText(/It ended because/)).toHaveCount(0);
  await expect(page.getByText(/^Nothing was left out: 512/)).toBeVisible({ timeout: 60_000 });
  expect(readdirSync(join(bench.folder, ".crankwright", "results"))).toHaveLength(2);
});

for (const theme of ["light", "dark"] as const)
  for (const width of [1440, 390])
    test(`it fits and has no barriers, ${theme}, ${width} px`, async ({ page, bench }) => {
      writeFileSync(join(bench.folder, file), many);
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: theme });
      await page.goto(`${bench.address}/search`);
      await byEvolution(page, { "Candidates to look at": 1000 });
      await fitsAcross(page);
      expect(await violations(page)).toEqual([]);
      await button(page, "Run").click();
      await expect(ended(page)).toBeVisible({ timeout: 60_000 });
      await page.getByText(/candidates in generations of/).click();
      await fitsAcross(page);
      expect(await violations(page)).toEqual([]);
    });
