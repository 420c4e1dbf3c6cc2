import type { Page } from "@playwright/test";
import { cpSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { violations } from "../axe.ts";
import { exampleFolder } from "../machine.ts";
import { fitsAcross } from "../open.ts";
import { expect, test as base } from "./bench.ts";

const file = "pilot-boat.brief.yaml";
const four = "vee-four-90-offset-090";
const five = "inline-five";

/** A folder with the brief of the pilot boat and some engines. */
const test = base.extend<{ brief: { read: () => string; write: (text: string) => void } }>({
  brief: [
    async ({ bench }, use) => {
      const path = join(bench.folder, file);
      cpSync(join(exampleFolder, file), path);
      await use({ read: () => readFileSync(path, "utf8"), write: (t) => writeFileSync(path, t) });
    },
    { auto: true },
  ],
});
test.use({
  engines: [four, five, "inline-six", "opposed-four-own-pins", "vee-six-60-split"],
  contextOptions: { reducedMotion: "reduce" },
});

const ranking = (page: Page) => page.getByRole("region", { name: "Ranking" });
const leader = (page: Page) => ranking(page).locator("ol > li").first();
const save = (page: Page) => page.getByRole("button", { name: "Save to the brief" });

/** Sets a priority by its number. */
async function points(page: Page, name: string, to: number): Promise<void> {
  const field = page.getByRole("spinbutton", { name: `${name}, points` });
  await field.fill(String(to));
  await field.press("Tab");
}

async function open(page: Page, address: string, query = ""): Promise<void> {
  await page.goto(`${address}/choice${query}`);
  await expect(leader(page)).toBeVisible();
}

test("the ranking follows a slider, by pointer and by keys", async ({ page, bench }) => {
  await open(page, bench.address);
  await expect(leader(page)).toContainText("Vee four 90°");
  await expect(ranking(page).getByText(/ruled out: 1/i)).toBeVisible();
  const slider = page.getByRole("slider", { name: "Torque evenness" });
  await slider.focus();
  await slider.press("End");
  await expect(leader(page)).toContainText("Vee six 60°");
  await expect(page.getByRole("region", { name: /Verdict/ })).toContainText(
    /Verdict.*Vee six 60°, split pins (is|has)/,
  );
  await expect(page.getByText("1 change not saved")).toBeVisible();
  const box = await slider.boundingBox();
  if (box) await page.mouse.click(box.x + 12, box.y + box.height / 2);
  await expect(leader(page)).toContainText("Vee four 90°");
  // What is not saved is still there after a look at an engine.
  await leader(page).getByRole("link").click();
  await expect(page.getByRole("heading", { level: 1, name: /Vee four/ })).toBeVisible();
  await page.keyboard.press("c");
  await expect(page.getByText("1 change not saved")).toBeVisible();
  await expect(slider).not.toHaveValue("4");
  await page.getByRole("button", { name: "Discard" }).click();
  await expect(slider).toHaveValue("4");
});

test("a limit rules out with its margin, and says why it cannot be read", async ({
  page,
  bench,
  watch,
}) => {
  watch.expected = /422.*api\/choice/; // the limit that is wrong on purpose
  await open(page, bench.address);
  const length = page.getByRole("textbox", { name: "Limit of Length, with its unit" });
  await length.fill("590 mm");
  await length.press("Enter");
  const out = ranking(page).locator(".out");
  await expect(out).toContainText(/Inline five\s*4\.2 mm too long \(594\.2 mm, at most 590 mm\)/);
  await expect(page.getByText(/rules out 2, the nearest by 4\.18.mm/)).toBeVisible();
  await length.fill("590 kg");
  await length.press("Enter");
  await expect(page.getByRole("alert")).toContainText(/line 8: .*is not a unit of length/);
  await expect(save(page)).toBeDisabled();
  await length.fill("0.7 m");
  await length.press("Enter");
  await expect(ranking(page).locator("ol")).toContainText("Inline six");
});

test("a range has two handles and widens what can be first", async ({ page, bench }) => {
  await open(page, bench.address);
  const first = leader(page).locator(".n").nth(1);
  await expect(first).toContainText("100");
  const row = page
    .getByRole("listitem")
    .filter({ has: page.getByRole("heading", { name: "Torque evenness" }) });
  await row.getByRole("button", { name: "Range" }).click();
  await points(page, "Torque evenness, to", 10);
  await expect(first).not.toContainText("100");
  const from = page.getByRole("slider", { name: "Torque evenness, from" });
  await expect(from).toHaveAttribute("aria-valuetext", "2 of 10 points");
  await from.focus();
  await from.press("ArrowRight");
  await expect(from).toHaveAttribute("aria-valuetext", "2.5 of 10 points");
  await save(page).click();
  await expect(page.getByText("as in the file")).toBeVisible();
});

test("saving keeps the comments of the file, and undo brings it back", async ({
  page,
  bench,
  brief,
}) => {
  const before = brief.read();
  await open(page, bench.address);
  await points(page, "Smoothness", 3);
  await page.getByRole("combobox", { name: "Add a priority" }).selectOption("lightness");
  await expect(page.getByRole("slider", { name: "Lightness" })).toBeVisible();
  await save(page).click();
  await expect(page.getByText("as in the file")).toBeVisible();
  const after = brief.read();
  expect(after).toContain("  smoothness: 3\n");
  expect(after).toMatch(/^ {2}lightness: 5$/m);
  for (const comment of before.match(/#.*$/gm) ?? []) expect(after).toContain(comment);
  await page.keyboard.press("Control+z");
  await expect.poll(() => brief.read()).toBe(before);
  await expect(page.getByRole("slider", { name: "Smoothness" })).toHaveValue("8");
  await expect(page.getByRole("slider", { name: "Lightness" })).toHaveCount(0);
});

test("what a word is made of, what values are worth and reasons are edits too", async ({
  page,
  bench,
  brief,
}) => {
  await open(page, bench.address);
  const row = page
    .getByRole("listitem")
    .filter({ has: page.getByRole("heading", { name: "Compactness" }) });
  await row.getByRole("button", { name: "More of Compactness" }).click();
  await row.getByRole("textbox", { name: "Why" }).fill("A short engine leaves a berth.");
  await row.getByRole("button", { name: "Take Width out of Compactness" }).click();
  await expect(row.getByRole("spinbutton", { name: /^Share of Width/ })).toHaveCount(0);
  await row
    .getByRole("listitem")
    .filter({ hasText: "Length" })
    .getByRole("button", { name: "Value" })
    .click();
  await expect(row.getByRole("img", { name: /Length/ })).toBeVisible();
  await row.getByRole("textbox", { name: "Length, point 1" }).fill("300 mm");
  await row.getByRole("textbox", { name: "Length, point 1" }).press("Enter");
  await expect(row.getByText("Given by the brief")).toBeVisible();
  await save(page).click();
  await expect(page.getByText("as in the file")).toBeVisible();
  const text = brief.read();
  expect(text).toContain("compactness: A short engine leaves a berth.");
  expect(text).toMatch(/compactness: \{length: [\d.]+, height: [\d.]+\}/);
  expect(text).toMatch(/length: \{worst: [\d.]+ mm, best: 300 mm\}/);
});

test("a change from outside is never written over", async ({ page, bench, brief }) => {
  await open(page, bench.address);
  await points(page, "Smoothness", 2);
  brief.write(brief.read().replace("service: 5", "service: 9"));
  const clash = page.getByRole("alert").filter({ hasText: "changed outside" });
  await expect(clash).toBeVisible();
  await expect(save(page)).toBeDisabled();
  await clash.getByRole("button", { name: "Make my changes" }).click();
  await expect(page.getByRole("slider", { name: "Service" })).toHaveValue("9");
  await save(page).click();
  await expect(page.getByText("as in the file")).toBeVisible();
  expect(brief.read()).toContain("smoothness: 2");
  expect(brief.read()).toContain("service: 9");
});

test("undo takes back one try after the other, and a discard", async ({ page, bench, brief }) => {
  const before = brief.read();
  await open(page, bench.address);
  await points(page, "Smoothness", 2);
  await points(page, "Torque evenness", 9);
  const slider = page.getByRole("slider", { name: "Torque evenness" });
  await expect(page.getByText("2 changes not saved")).toBeVisible();
  await slider.focus();
  await page.keyboard.press("Control+z");
  await expect(page.getByText("1 change not saved")).toBeVisible();
  await expect(slider).toHaveValue("4");
  await page.keyboard.press("Control+Shift+z");
  await expect(slider).toHaveValue("9");
  await page.getByRole("button", { name: "Discard" }).click();
  await expect(page.getByText("as in the file")).toBeVisible();
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await expect(page.getByText("2 changes not saved")).toBeVisible();
  await expect(slider).toHaveValue("9");
  expect(brief.read()).toBe(before);
});

test("a broken brief shows its problems at their lines, and its text can be put right", async ({
  page,
  bench,
  brief,
  watch,
}) => {
  watch.expected = /422.*api\/choice/;
  brief.write(
    brief
      .read()
      .replace("smoothness: 8", "smothness: 8")
      .replace("  height: 560 mm", "  height: 560 kg"),
  );
  await page.goto(`${bench.address}/choice`);
  const alert = page.getByRole("alert");
  await expect(alert).toContainText(/line 9: .*is not a unit of length/);
  await expect(alert).toContainText(/unknown priority "smothness"; did you mean "smoothness"\?/);
  const text = page.getByRole("textbox", { name: `Text of ${file}` });
  await text.fill(
    (await text.inputValue()).replace("smothness", "smoothness").replace("560 kg", "560 mm"),
  );
  await expect(leader(page)).toBeVisible();
  await page.getByRole("button", { name: "Save text" }).click();
  await expect(page.getByText("as in the file")).toBeVisible();
  expect(brief.read()).toContain("smoothness: 8");
});

test("estimates are looked at one after the other, and name what matters most", async ({
  page,
  bench,
}) => {
  await open(page, bench.address, `?among=${four},${five}`);
  await expect(page.getByText("Estimates of 2 of 2 engines looked at.")).toBeVisible({
    timeout: 60_000,
  });
  const flips = page.getByRole("region", { name: "What would flip it" });
  await expect(flips.getByRole("table").last()).toContainText(/%/);
  await expect(flips.getByRole("columnheader", { name: "Scatter", exact: true })).toBeVisible();
});

test("pictures follow the edits; the address carries brief, engines and criteria", async ({
  page,
  bench,
}) => {
  await open(page, bench.address, `?brief=pilot-boat&among=${four},${five}&picture=trade-off`);
  await expect(ranking(page).locator("ol > li")).toHaveCount(2);
  await page.getByRole("combobox", { name: "Across" }).selectOption("cost_index");
  await page.getByRole("combobox", { name: "Upwards" }).selectOption("length");
  await expect(
    page
      .getByRole("img", { name: /Length .*Cost index/ })
      .or(page.getByRole("img", { name: /Cost index.*length/i })),
  ).toBeVisible();
  await expect(page).toHaveURL(/across=cost_index/);
  await expect(page).toHaveURL(/upward=length/);
  await page.getByRole("tab", { name: "What makes up the scores" }).click();
  const drawn = page
    .getByRole("tabpanel", { name: "What makes up the scores" })
    .locator("svg.cw-fig");
  await expect(drawn).toBeVisible();
  const before = await drawn.innerHTML();
  await points(page, "Smoothness", 0);
  await expect.poll(() => drawn.innerHTML()).not.toBe(before);
  const coming = page.waitForEvent("download");
  await page.getByRole("button", { name: "PDF" }).click();
  expect((await coming).suggestedFilename()).toMatch(/worths\.pdf$/);
  await page.getByRole("button", { name: "2 of 5 engines" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "All" }).click();
  await page.keyboard.press("Escape");
  await expect(page).not.toHaveURL(/among=/);
  await expect(ranking(page).locator("ol > li")).toHaveCount(4);
});

test("briefs are made, copied and deleted", async ({ page, bench }) => {
  await open(page, bench.address);
  await page.getByRole("button", { name: "New brief" }).click();
  const dialog = page.getByRole("dialog", { name: "New brief" });
  await dialog.getByText("A copy of this brief").click();
  await dialog.getByRole("textbox", { name: "Name" }).fill("Harbour tug");
  await dialog.getByRole("button", { name: "Make it" }).click();
  await expect(page.getByRole("combobox", { name: "Brief" })).toHaveValue("harbour-tug.brief.yaml");
  await expect(leader(page)).toBeVisible();
  const made = join(bench.folder, "harbour-tug.brief.yaml");
  expect(readFileSync(made, "utf8")).toContain("name: Harbour tug\n");
  await page.getByRole("button", { name: "Delete", exact: true }).click();
  await expect.poll(() => existsSync(made)).toBe(false);
  await expect(page.getByRole("combobox", { name: "Brief" })).toHaveValue(file);
  await page.keyboard.press("Control+z");
  await expect.poll(() => existsSync(made)).toBe(true);
});

base.describe("a folder without briefs", () => {
  base.use({ engines: [four], contextOptions: { reducedMotion: "reduce" } });
  base("offers to make one", async ({ page, bench }) => {
    await page.goto(bench.address);
    await expect(page.getByRole("heading", { level: 1 })).toBeVisible();
    await page.keyboard.press("c");
    await expect(page.getByRole("heading", { level: 1, name: "Begin with a brief" })).toBeVisible();
    expect(await violations(page)).toEqual([]);
    await page.getByRole("button", { name: "New brief" }).click();
    await page.getByRole("dialog").getByRole("button", { name: "Make it" }).click();
    await expect(leader(page)).toBeVisible();
  });
});

for (const theme of ["light", "dark"] as const)
  test(`the page is sound for those who do not see it, ${theme}, and fits a narrow page`, async ({
    page,
    bench,
  }) => {
    await open(page, bench.address, `?theme=${theme}`);
    await page.getByRole("button", { name: "More of Smoothness" }).click();
    await page.getByRole("button", { name: "Value" }).first().click();
    await page.getByRole("button", { name: "Open all" }).click();
    await expect(page.locator(".skeleton")).toHaveCount(0);
    expect(await violations(page)).toEqual([]);
    await page.setViewportSize({ width: 390, height: 844 });
    await fitsAcross(page);
    await page.evaluate(() => scrollTo(0, 0));
    expect(await violations(page)).toEqual([]);
  });
