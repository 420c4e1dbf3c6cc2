import type { Page } from "@playwright/test";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { engine, expect, test } from "./bench.ts";

const six = "inline-six";
const own = "opposed-four-own-pins";
const vee = "vee-eight-90-cross";

test.use({ engines: [six, own, vee], contextOptions: { reducedMotion: "reduce" } });

const tools = [
  ["room", "Room"],
  ["bearings", "Bearings"],
  ["strength", "Strength"],
  ["torsion", "Torsion"],
] as const;
const panel = (page: Page, name: string) =>
  page.locator("#lasting").getByRole("tabpanel", { name, exact: true });

test("the room of an opposed engine has flying webs, and a wish says what becomes of them", async ({
  page,
  bench,
}) => {
  await page.goto(`${bench.address}${engine(own)}?crank=room`);
  const room = panel(page, "Room");
  await expect(room.getByText(/2 flying webs stand between the two pins/)).toBeVisible();
  await expect(room.getByRole("rowheader", { name: /^flying web pin T1a/ })).toBeVisible();
  await room.getByLabel("Wish: stagger of the banks").fill("36 mm");
  await room.getByLabel("Wish: stagger of the banks").press("Enter");
  await expect(room.getByText("What the wish does, by who gives way [mm]").first()).toBeVisible();
});

test("bearings: the worst is chosen, frames switch, load lowers the force", async ({
  page,
  bench,
}) => {
  await page.goto(`${bench.address}${engine(vee)}?crank=bearings`);
  const bearings = panel(page, "Bearings");
  await expect(bearings.getByText(/carries most of its kind/).first()).toBeVisible();
  await bearings.getByLabel("Bearing", { exact: true }).selectOption("main 3");
  const heading = bearings.getByRole("heading", { name: /^Main 3: / });
  await expect(heading).toBeVisible();
  const full = await heading.innerText();
  await expect(bearings.getByRole("img", { name: /main 3, seen in the block/ })).toBeVisible();
  await bearings.getByText("journal", { exact: true }).click();
  await expect(bearings.getByRole("img", { name: /main 3, seen in the journal/ })).toBeVisible();
  await expect(bearings.getByRole("img", { name: /Path of the journal of main 3/ })).toBeVisible();
  await page.locator("#lasting").getByLabel("Load on the crank", { exact: true }).fill("30");
  await expect(heading).not.toHaveText(full);
  await expect(page).toHaveURL(/load=30/);
});

test("strength says what is too weak, and the stiff shaft is not", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(six)}?crank=strength`);
  const strength = panel(page, "Strength");
  await expect(strength.getByText(/It is too weak/)).toBeVisible();
  await expect(strength.getByRole("list", { name: "Use of the webs" })).toContainText(
    /\b\d{3}\s% of it: too much, acceptability/,
  );
  await expect(strength.getByRole("rowheader", { name: "crankpin diameter" })).toBeVisible();
  await expect(strength.locator("canvas")).toBeVisible();
  await strength.getByLabel(/as if the shaft were stiff/).check();
  await expect(strength.getByText(/It takes .* % of what the rule allows/)).toBeVisible();
});

test("torsion: a damper goes into the file, and is fitted", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(six)}?crank=torsion`);
  const torsion = panel(page, "Torsion");
  await expect(torsion.getByText(/winds the crank up lies at/).first()).toBeVisible();
  await expect(torsion.getByRole("img", { name: /^Campbell picture/ })).toBeVisible();
  await expect(torsion.getByRole("rowheader", { name: /\(own\)$/ })).toBeVisible();
  await torsion.getByRole("button", { name: "Put the viscous damper into the file" }).click();
  await expect(torsion.getByText(/With the viscous damper that is fitted/)).toBeVisible();
  await expect(torsion.getByRole("rowheader", { name: "fitted: viscous" })).toBeVisible();
  await expect(
    torsion.getByRole("button", { name: "Put the viscous damper into the file" }),
  ).toBeDisabled();
});

for (const [id, name] of tools)
  test(`${id} is sound for those who do not see it, and fits a narrow page`, async ({
    page,
    bench,
  }) => {
    await page.setViewportSize({ width: 390, height: 844 });
    await page.goto(`${bench.address}${engine(vee)}?crank=${id}`);
    await expect(panel(page, name).getByText(/For concept work/)).toBeVisible();
    expect(await violations(page)).toEqual([]);
    await fitsAcross(page);
  });
