import type { Page } from "@playwright/test";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { expect, test } from "./bench.ts";

const vee = "vee-four-90-offset-000";
const file = "vees.study.yaml";

/** Steps that pass over the vee of 90°, where a counterweight takes the whole force of order 1. */
const coarse = `name: Vees in coarse steps
base: ${vee}.engine.yaml
vary:
  layout.bank_angle: [70 deg, 85 deg, 100 deg, 115 deg]
minimise: [force_order_1_against_crank, mean_piston_speed]
`;
/** With figures that take a while. */
const slow = coarse.replace(
  "[force_order_1_against_crank, mean_piston_speed]",
  "[main_bearing_load, torsion_stress, length]\nspeed: 5000 rpm",
);

test.use({ engines: [vee], contextOptions: { reducedMotion: "reduce" } });

const front = (page: Page) => page.getByRole("region", { name: "Table of the front" });

/** Runs the study and opens the first candidate of its front. */
async function card(page: Page, address: string) {
  await page.goto(`${address}/search`);
  await page.getByRole("button", { name: "Run", exact: true }).click();
  await expect(page.getByText(/^Nothing was left out/)).toBeVisible({ timeout: 60_000 });
  await front(page)
    .getByRole("button", { name: /^Candidate/ })
    .first()
    .click();
  const dialog = page.getByRole("dialog");
  await expect(dialog.getByRole("heading", { name: "Refine between the steps" })).toBeVisible();
  return dialog;
}

test("a candidate is refined between the steps, and what was found becomes an engine", async ({
  page,
  bench,
  watch,
}) => {
  watch.expected = /409/; // a name that is taken
  writeFileSync(join(bench.folder, file), coarse);
  const dialog = await card(page, bench.address);
  await dialog
    .getByRole("combobox", { name: "Toward" })
    .selectOption({ label: "less Order 1 force no counterweight takes" });
  await dialog.getByRole("button", { name: "Refine", exact: true }).click();
  await expect(dialog.getByText(/^Better, \d+ engines analysed/)).toBeVisible({ timeout: 30_000 });
  const moved = dialog.getByRole("region", { name: "What moved" });
  await expect(
    moved.getByRole("row", { name: /^Bank angle 85° (90|89\.9\d*|90\.0\d*)°$/ }),
  ).toBeVisible();
  const does = dialog.getByRole("region", { name: "What it does" });
  await expect(does.getByRole("row", { name: /^Order 1 force.* less, better/ })).toBeVisible();
  await expect(does.getByRole("row", { name: /^Mean piston speed.* the same/ })).toBeVisible();

  const name = dialog.getByRole("textbox", { name: "Name of the refined file" });
  await name.fill(vee);
  await dialog.getByRole("button", { name: "Keep refined as file" }).click();
  await expect(dialog.getByRole("alert")).toContainText(/./);
  await name.fill("between-steps");
  await dialog.getByRole("button", { name: "Keep refined as file" }).click();
  await expect(dialog).toHaveCount(0);
  const path = join(bench.folder, "between-steps.engine.yaml");
  await expect.poll(() => existsSync(path)).toBe(true);
  expect(readFileSync(path, "utf8")).toMatch(/name: .* refined/);
  await page.keyboard.press("Control+z");
  await expect.poll(() => existsSync(path)).toBe(false);

  // What was found is still there when the card is opened again.
  await front(page)
    .getByRole("button", { name: /^Candidate/ })
    .first()
    .click();
  await expect(dialog.getByText(/^Better, \d+ engines analysed/)).toBeVisible();
  await dialog.getByRole("button", { name: "Keep refined and open in the Line-up" }).click();
  await expect(page).toHaveURL(/\/\?.*show=vee-four-90-offset-000,.*refined/);
  await expect(page.locator("main h2 a")).toHaveCount(2);
});

test("where nothing better is found, or nothing can be refined, the card says so", async ({
  page,
  bench,
}) => {
  writeFileSync(join(bench.folder, file), coarse.replace("85 deg", "90 deg"));
  const dialog = await card(page, bench.address);
  await dialog.getByRole("button", { name: "Refine", exact: true }).click();
  await expect(dialog.getByText(/^Nothing better was found, \d+ engines analysed/)).toBeVisible({
    timeout: 30_000,
  });
  await expect(dialog.getByRole("button", { name: /^Keep refined/ })).toHaveCount(0);
  await page.keyboard.press("Escape");
  writeFileSync(
    join(bench.folder, file),
    coarse.replace(/layout\.bank_angle: .*/, "crank.counterweights: [none, best]"),
  );
  await page.reload();
  await page.getByRole("button", { name: "Run anew" }).click();
  await expect(page.getByText(/has changed since/)).toHaveCount(0);
  await front(page)
    .getByRole("button", { name: /^Candidate/ })
    .first()
    .click();
  await expect(dialog.getByText(/cannot be refined: this study varies no number/)).toBeVisible();
  await expect(dialog.getByRole("button", { name: "Refine", exact: true })).toHaveCount(0);
});

test("a refinement stops by its button and with the card", async ({ page, bench }) => {
  writeFileSync(join(bench.folder, file), slow);
  const dialog = await card(page, bench.address);
  const standing = async (): Promise<string> => {
    const at = /candidates\/\d+/.exec(path)?.[0] ?? "";
    const answer = await page.request.get(`${bench.address}/api/studies/${file}/${at}/refine`);
    return ((await answer.json()) as { state: string }).state;
  };
  let path = "";
  page.on("request", (r) => {
    if (r.method() === "POST" && r.url().endsWith("/refine")) path = r.url();
  });
  await dialog.getByRole("button", { name: "Refine", exact: true }).click();
  await expect(dialog.getByRole("progressbar", { name: "Engines analysed" })).toBeVisible();
  await expect(dialog.getByRole("combobox", { name: "Toward" })).toBeDisabled();
  await dialog.getByRole("button", { name: "Stop" }).click();
  await expect(dialog.getByRole("button", { name: "Refine", exact: true })).toBeVisible();
  expect(await standing()).toBe("none");
  await dialog.getByRole("button", { name: "Refine", exact: true }).click();
  await expect(dialog.getByRole("button", { name: "Stop" })).toBeVisible();
  expect(await standing()).toBe("running");
  await page.keyboard.press("Escape");
  await expect(dialog).toHaveCount(0);
  await expect.poll(standing).toBe("none");
});

for (const theme of ["light", "dark"] as const)
  for (const width of [1440, 390])
    test(`the refined card fits and has no barriers, ${theme}, ${width} px`, async ({
      page,
      bench,
    }) => {
      writeFileSync(join(bench.folder, file), coarse);
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: theme });
      const dialog = await card(page, bench.address);
      await dialog.getByRole("button", { name: "Refine", exact: true }).click();
      const keep = dialog.getByRole("button", { name: "Keep refined as file" });
      await expect(keep).toBeVisible({ timeout: 30_000 });
      await keep.scrollIntoViewIfNeeded();
      await fitsAcross(page);
      expect(await violations(page)).toEqual([]);
    });
