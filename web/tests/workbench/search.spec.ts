import type { Locator, Page } from "@playwright/test";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { expect, test } from "./bench.ts";

const four = "inline-four-flat";
const file = "cranks.study.yaml";

/** 8³ cranks of an inline four, symmetric twins apart. */
const few = `name: Cranks of a four
base: ${four}.engine.yaml
vary:
  layout.pins: {all: 45 deg, twins: apart}
minimise: [free_force_order_1, free_moment_order_1]
maximise: [firing_evenness]
`;
/** The same in fine steps at six bores: it takes a while. */
const many = few.replace(
  "{all: 45 deg, twins: apart}",
  "{all: 3 deg, twins: apart}\n  bore: [80, 82, 84, 86, 88, 90] mm",
);

test.use({ engines: [four], contextOptions: { reducedMotion: "reduce" } });

const editor = (page: Page) => page.getByRole("textbox", { name: /^Text of/ });
const front = (page: Page) => page.getByRole("region", { name: "Table of the front" });
const axes = (page: Page) => page.getByRole("group", { name: "Parallel coordinates" });
const run = (page: Page) => page.getByRole("button", { name: /^(Run|Go on|Save and run)$/ });

/** Runs the study of the page until every candidate was looked at. */
async function whole(page: Page): Promise<void> {
  await run(page).click();
  await expect(page.getByText(/^Nothing was left out/)).toBeVisible({ timeout: 60_000 });
}

async function drag(page: Page, on: Locator, from: number, to: number): Promise<void> {
  await on.scrollIntoViewIfNeeded();
  const box = await on.boundingBox();
  if (!box) throw new Error("there is nothing to drag on");
  const x = box.x + box.width / 2;
  await page.mouse.move(x, box.y + from * box.height);
  await page.mouse.down();
  for (let i = 1; i <= 8; i++)
    await page.mouse.move(x, box.y + (from + ((to - from) * i) / 8) * box.height);
  await page.mouse.up();
}

test("a study is made and written with help, and what it says follows", async ({ page, bench }) => {
  await page.goto(`${bench.address}/search`);
  await expect(page.getByRole("heading", { name: "Begin with a study" })).toBeVisible();
  await page.getByRole("button", { name: "New study" }).click();
  await page.getByRole("textbox", { name: "Name" }).fill("Fours");
  await page.getByRole("button", { name: "Make it" }).click();
  await expect(editor(page)).toHaveValue(/name: Fours\nbase: inline-four-flat/);
  await expect(page.locator(".plan").getByText(/candidates?$/)).toBeVisible();
  await editor(page).fill(few);
  await expect(page.locator(".plan")).toContainText("512 candidates");
  await expect(page.locator(".plan")).toContainText(/512 distinct phasings of 4 throws.*45°/);
  await expect(page.locator(".plan")).toContainText("Burnside’s lemma gives the same number");

  await editor(page).fill(few.replace("45 deg", "45"));
  await expect(page.getByRole("button", { name: "line 4:" })).toBeVisible();
  await expect(run(page)).toBeDisabled();
  await editor(page).fill(few);
  await expect(page.getByText(/problem/)).toHaveCount(0);

  await page.getByText("What can vary, be required and be an aim").click();
  const find = page.getByRole("searchbox", { name: "Find among what can vary" });
  await find.fill("bore");
  await page.getByRole("button", { name: "Bore 86 mm" }).click();
  await expect(editor(page)).toHaveValue(/\n {2}bore: \{from: .* mm, to: .* mm, step: .* mm\}\n/);
  await expect(page.locator(".plan")).toContainText(/2.560 candidates/);
  await find.fill("length");
  await page.getByRole("button", { name: "less Length", exact: true }).click();
  await page.getByRole("button", { name: "limit of Length", exact: true }).click();
  await expect(editor(page)).toHaveValue(/minimise: \[.*, length\]/);
  await expect(editor(page)).toHaveValue(/require:\n {2}length: "<= 1 mm"/);
  await expect(page.locator(".plan")).toContainText("length <= 1 mm");

  await page.getByRole("button", { name: "Save text" }).click();
  await expect(page.getByText("as saved")).toBeVisible();
  const path = join(bench.folder, "fours.study.yaml");
  expect(readFileSync(path, "utf8")).toContain("length <= 1 mm".replace("length ", 'length: "'));
  // A look at the run that is still on its way when the study goes is let go, and not refused as of a missing study.
  await page.route(/\/run\?/, async (route) => {
    await expect.poll(() => existsSync(path)).toBe(false);
    await route.continue().catch(() => undefined);
  });
  writeFileSync(path, readFileSync(path, "utf8") + "# a word from outside\n");
  await page.waitForRequest(/\/run\?/);
  await expect(editor(page)).toHaveValue(/a word from outside/);
  await page.getByRole("button", { name: "Delete" }).click();
  await expect(page.getByRole("heading", { name: "Begin with a study" })).toBeVisible();
  await page.unroute(/\/run\?/);
  await page.keyboard.press("Control+z");
  await expect.poll(() => existsSync(path)).toBe(true);
});

test("a study is run, brushed, asked, and a candidate becomes an engine", async ({
  page,
  bench,
}) => {
  writeFileSync(join(bench.folder, file), few);
  await page.goto(`${bench.address}/search`);
  await whole(page);
  await expect(
    page.getByText(/^Nothing was left out: 512 = \d+ ruled out \+ \d+\s+kept/),
  ).toBeVisible();
  // The flat crank is known to have no free force of order 1, no moment, and to fire evenly.
  const flat = front(page).getByRole("row", { name: /\b0 0 1 0 180 180 0$/ });
  await expect(flat).toBeVisible();
  await expect(axes(page).locator(".strip")).not.toHaveCount(0);
  const said = page.getByRole("status").filter({ hasText: /of \d+ within the brushes/ });

  // By keys.
  await axes(page).getByRole("button", { name: "Brush Firing evenness" }).click();
  const from = axes(page).getByRole("slider", { name: "Firing evenness, from" });
  await from.focus();
  for (let i = 0; i < 4; i++) await from.press("Shift+ArrowUp");
  await expect(said).toBeVisible();
  const before = Number(/^\d+/.exec(await said.innerText())?.[0]);
  // By pointer, on another axis.
  await drag(page, axes(page).locator(".strip").nth(3), 0.98, 0.6);
  await expect
    .poll(async () => Number(/^\d+/.exec(await said.innerText())?.[0]))
    .toBeLessThan(before);
  const filter = page.locator(".filter code");
  await expect(filter).toContainText(/firing_evenness >= .* and free_force_order_1 >= /);
  await expect(page).toHaveURL(/brush=firing_evenness/);
  // The page counts in a worker, which may still be at an earlier place of the pointer.
  await expect(said).toHaveAttribute("aria-busy", "false");
  const chosen = Number(/^\d+/.exec(await said.innerText())?.[0]);

  await page.getByRole("button", { name: "What is brushed" }).click();
  const rows = page.getByRole("region", { name: "Rows of the query" });
  await expect(rows.getByRole("row")).toHaveCount(Math.min(100, chosen) + 1);
  // The brushes are in the address.
  await page.reload();
  await expect(said).toContainText(`${chosen} of`);
  await page.getByRole("button", { name: "Let all go" }).click();
  await expect(said).toHaveCount(0);

  await page.getByText("SQL", { exact: true }).click();
  await page
    .getByRole("textbox", { name: /SQL/ })
    .fill("SELECT candidate, firing_evenness_1 FROM candidates ORDER BY 2 DESC LIMIT 3");
  await page.getByRole("button", { name: "Ask" }).click();
  await expect(rows.getByRole("row")).toHaveCount(4);
  await expect(rows.getByRole("button", { name: /^Open candidate/ })).toHaveCount(3);

  await front(page)
    .getByRole("button", { name: /^Candidate/ })
    .first()
    .click();
  const card = page.getByRole("dialog");
  await expect(card.getByText(/^\[0, .*\] deg$/)).toBeVisible();
  await card.getByRole("textbox", { name: "Name of its file" }).fill("kept-four");
  await card.getByRole("button", { name: "Keep as file" }).click();
  await expect(card).toHaveCount(0);
  await expect.poll(() => bench.files()).toContain("kept-four");
  await front(page)
    .getByRole("button", { name: /^Candidate/ })
    .first()
    .click();
  await card.getByRole("button", { name: "Keep and open in the Line-up" }).click();
  await expect(page).toHaveURL(/\/\?.*show=inline-four-flat,inline-four/);
  await expect(page.locator("main h2 a")).toHaveCount(2); // beside its base
  expect(bench.files()).toHaveLength(3);
});

test("a click in the plane opens the candidate there, and a rectangle brushes two figures", async ({
  page,
  bench,
}) => {
  writeFileSync(join(bench.folder, file), few);
  await page.goto(`${bench.address}/search?across=free_force_order_1&upward=free_moment_order_1`);
  await whole(page);
  const plane = page.getByRole("group", { name: /^Free force, order 1 against/ });
  await expect(axes(page).locator(".strip")).not.toHaveCount(0);
  await plane.scrollIntoViewIfNeeded();
  const box = await plane.boundingBox();
  if (!box) throw new Error("there is no plane");
  await page.mouse.move(box.x + 2, box.y + box.height - 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2, { steps: 5 });
  await page.mouse.up();
  await expect(page.locator(".filter code")).toContainText(
    /free_force_order_1 >= .* and free_moment_order_1 >= /,
  );
  await plane.press("Escape");
  await expect(page.locator(".filter")).toHaveCount(0);
  await plane.press("+");
  await expect(page.getByRole("button", { name: "All", exact: true })).toBeEnabled();
  await plane.press("0");
  const point = plane.locator("circle").first();
  await expect(point).toBeVisible();
  const at = await point.boundingBox();
  if (!at) throw new Error("there is no point");
  await page.mouse.click(at.x + at.width / 2, at.y + at.height / 2);
  await expect(page.getByRole("dialog")).toContainText(/What the search found/);
  await page.keyboard.press("Escape");
  await expect(page.getByRole("dialog")).toHaveCount(0);
});

test("a search stops, goes on, and outlives the page", async ({ page, bench }) => {
  writeFileSync(join(bench.folder, file), many);
  await page.goto(`${bench.address}/search`);
  await run(page).click();
  const stop = page.getByRole("button", { name: "Stop" });
  await expect(stop).toBeVisible();
  await expect(page.getByText(/in a second/)).toBeVisible();
  await expect(front(page)).toBeVisible({ timeout: 60_000 });
  await page.reload();
  await expect(stop).toBeVisible();
  await stop.click();
  await expect(page.getByRole("status").filter({ hasText: "stopped" })).toBeVisible();
  await expect(page.getByText(/^So far .* ruled out \+ .* kept/)).toBeVisible();
  const share = async () => Number(await page.getByRole("progressbar").getAttribute("value"));
  const before = await share();
  expect(before).toBeLessThan(1);
  await run(page).click();
  await expect.poll(share, { timeout: 30_000 }).toBeGreaterThan(before);
});

test("results of an earlier state are told apart", async ({ page, bench }) => {
  writeFileSync(join(bench.folder, file), few);
  await page.goto(`${bench.address}/search`);
  await whole(page);
  bench.change(four, "bore:", "bore: 90 mm #");
  await expect(page.getByText(/inline-four-flat.engine.yaml has changed since/)).toBeVisible();
  await page.getByRole("button", { name: "Run anew" }).click();
  await expect(page.getByText(/has changed since/)).toHaveCount(0);
  await expect(page.getByText(/^Nothing was left out/)).toBeVisible({ timeout: 30_000 });
});

for (const theme of ["light", "dark"] as const)
  for (const width of [1440, 390])
    test(`it fits and has no barriers, ${theme}, ${width} px`, async ({ page, bench }) => {
      writeFileSync(join(bench.folder, file), few);
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: theme });
      await page.goto(`${bench.address}/search?brush=firing_evenness~0.7~1`);
      await whole(page);
      await expect(page.getByText(/within the brushes/)).toBeVisible();
      await page.getByText("What can vary, be required and be an aim").click();
      await fitsAcross(page);
      expect(await violations(page)).toEqual([]);
    });
