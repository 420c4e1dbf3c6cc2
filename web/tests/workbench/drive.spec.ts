import type { Page } from "@playwright/test";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { engine, expect, test } from "./bench.ts";

const four = "inline-four-flat";
const vee = "vee-eight-90-cross";

test.use({ engines: [four, vee], contextOptions: { reducedMotion: "reduce" } });

const tools = [
  ["curves", "Torque"],
  ["gas", "Gas"],
  ["power", "Power"],
  ["flywheel", "Flywheel"],
] as const;
const panel = (page: Page, name: string) => page.getByRole("tabpanel", { name, exact: true });
/** A number of a list of numbers by its name, without its note. */
const value = async (page: Page, list: string, name: string): Promise<number> => {
  const row = page.getByLabel(list, { exact: true }).locator("div").filter({ hasText: name });
  return parseFloat((await row.locator("dd").innerText()).replace("−", "-").replace(",", ""));
};

test("the load slider changes torque, and running light leaves none", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(four)}`);
  const torque = panel(page, "Torque");
  await expect(torque.getByText(/^At full load the gas gives/)).toBeVisible();
  const full = await value(page, "Mean and peaks", "Brake torque");
  const load = page.locator("#drive").getByLabel("Load", { exact: true });
  await load.fill("40");
  await expect(torque.getByText(/^At 40 % load/)).toBeVisible();
  await expect(page).toHaveURL(/load=40/);
  // The load is the share of the brake torque.
  expect((await value(page, "Mean and peaks", "Brake torque")) / full).toBeCloseTo(0.4, 2);
  await load.fill("0");
  await expect(torque.getByText(/^Running light/)).toBeVisible();
  await expect.poll(() => value(page, "Mean and peaks", "Brake torque")).toBeCloseTo(0, 1);
  await page.getByRole("button", { name: "Rated", exact: true }).click();
  await expect(torque.getByText(/^At full load the gas gives/)).toBeVisible();
  await page.getByRole("button", { name: "Idle", exact: true }).click();
  await expect(page).toHaveURL(/speed=900/);
  await expect(torque.getByText(/^Running light/)).toBeVisible();
});

test("a cylinder that is off brings half orders, and is off in the gas too", async ({
  page,
  bench,
}) => {
  await page.goto(`${bench.address}${engine(four)}`);
  const torque = panel(page, "Torque");
  const half = torque.getByRole("button", { name: /^0.5th order: gas/ });
  await expect(torque.getByRole("button", { name: /^2nd order: gas/ })).toBeVisible();
  await expect(half).toHaveCount(0);
  const chip = page.getByRole("button", { name: "Cylinder 3 fires" });
  await expect(chip).toHaveAttribute("aria-pressed", "true");
  await chip.click();
  await expect(chip).toHaveAttribute("aria-pressed", "false");
  await expect(half).toBeVisible();
  await half.click();
  await expect(torque.getByText(/0.5th order: gas .+, inertia 0/)).toBeVisible();
  await torque.getByLabel("Torque of", { exact: true }).selectOption("3");
  await expect(
    torque.getByRole("heading", { name: "Torque on the crank from cylinder 3" }),
  ).toBeVisible();

  await page.getByRole("tab", { name: "Gas", exact: true }).click();
  const gas = panel(page, "Gas");
  await expect(gas.getByText("The same in cylinders 1, 2, 4.", { exact: false })).toBeVisible();
  const fires = await value(page, "Pressure and work", "Largest pressure");
  await gas.getByLabel("Cylinder", { exact: true }).selectOption("3");
  await expect(gas.getByText("Cylinder 3 does not fire", { exact: false })).toBeVisible();
  expect(await value(page, "Pressure and work", "Largest pressure")).toBeLessThan(0.7 * fires);
  await page.getByRole("button", { name: "let all fire" }).click();
  await expect(gas.getByText("The same in all cylinders.", { exact: false })).toBeVisible();
  await expect(page).not.toHaveURL(/off=/);
});

test("the gas follows the crank angle, on straight and logarithmic scales", async ({
  page,
  bench,
}) => {
  await page.goto(`${bench.address}${engine(four)}?drive=gas`);
  const gas = panel(page, "Gas");
  const now = gas.getByTestId("gas-now");
  await page.keyboard.press("Escape");
  await expect(now).toContainText("Now 0° from firing top dead centre");
  const dot = gas.getByRole("img", { name: /^Pressure in cylinder/ }).locator("circle");
  // Sections out of sight rest; this one is looked at.
  await now.scrollIntoViewIfNeeded();
  const before = Number(await dot.getAttribute("cx"));
  for (let i = 0; i < 10; i++) await page.keyboard.press("ArrowRight");
  await expect(now).toContainText("Now 10° from");
  expect(Number(await dot.getAttribute("cx"))).toBeGreaterThan(before);
  // Cylinder 3 fires half a turn later.
  await gas.getByLabel("Cylinder", { exact: true }).selectOption("3");
  await expect(now).toContainText("Now −170° from");
  const loop = gas.getByRole("img", { name: /^Pressure over volume/ });
  const straight = await loop.locator("path.line").getAttribute("d");
  await gas.getByText("logarithmic", { exact: true }).click();
  await expect(loop).toHaveAttribute("aria-label", /logarithmic scales/);
  expect(await loop.locator("path.line").getAttribute("d")).not.toBe(straight);
  await expect(gas.getByText(/The first law closes to [\d.]+ × 10⁻/)).toBeVisible();
});

test("power over speed, read off under the pointer", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(four)}?drive=power`);
  const power = panel(page, "Power");
  const torque = power.getByRole("img", { name: "Brake torque over speed" });
  await expect(torque).toBeVisible();
  for (const name of [
    /^Brake power/,
    /^Mean effective/,
    /^Uneven torque/,
    /^Coefficient/,
    /^Friction by/,
  ])
    await expect(power.getByRole("img", { name })).toBeVisible();
  const read = power.getByTestId("power-read");
  await expect(read).toContainText("5500 rpm"); // the rated speed of the file
  await torque.scrollIntoViewIfNeeded();
  const box = await torque.boundingBox();
  if (!box) throw new Error("The figure has no place.");
  await page.mouse.move(box.x + 56, box.y + 60);
  await expect(read).toContainText("900 rpm");
  await page.mouse.move(box.x, box.y - 300);
  await expect(read).toContainText("5500 rpm");
  await expect(power.getByText(/^Friction follows/)).toBeVisible();
  await expect(power.getByRole("row", { name: /^900/ })).toHaveCount(2);
});

test("a flywheel is sized and goes into the file", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(four)}?drive=flywheel&speed=900`);
  const wheel = panel(page, "Flywheel");
  const needs = () => value(page, "Inertia", "A flywheel needs");
  await expect(wheel.getByRole("img", { name: /^Sections to one scale: Full disc/ })).toBeVisible();
  const first = await needs();
  await wheel.getByLabel("Wanted fluctuation").fill("4 %");
  await wheel.getByLabel("Wanted fluctuation").press("Enter");
  await expect.poll(needs).toBeLessThan(0.6 * first);
  await wheel.getByLabel("Diameter", { exact: true }).fill("0.4 m");
  await wheel.getByLabel("Diameter", { exact: true }).press("Enter");
  await wheel.getByLabel("Width of a rim").fill("80 mm");
  await wheel.getByLabel("Width of a rim").press("Enter");
  await expect(wheel.getByRole("img", { name: /Rim, diameter 400.mm, width 80.mm/ })).toBeVisible();
  await expect(wheel.getByText(/Burst safety follows the rules/)).toBeVisible();
  await wheel.getByRole("button", { name: "Put this inertia into the file" }).click();
  await expect.poll(() => bench.read(four)).toMatch(/flywheel:[^#]*inertia: [\d.]+ kg m2/);
  await expect(
    wheel.getByRole("button", { name: "Put this inertia into the file" }),
  ).toBeDisabled();
  // What the wanted 4 % asked for is what the file's flywheel gives now.
  await expect(wheel.getByText(/gives 4.%/)).toBeVisible();
});

test("an input that is dragged is followed", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(four)}?drive=gas`);
  const gas = panel(page, "Gas");
  await expect(gas.getByTestId("gas-now")).toContainText("bar");
  const peak = () => value(page, "Pressure and work", "Largest pressure");
  const before = await peak();
  await page.getByLabel("Find an input").fill("half of the heat");
  const field = page.getByRole("textbox", { name: /^Half of the heat released/ });
  await field.fill("20 deg");
  await field.press("Enter");
  // Heat that comes late gives less pressure.
  await expect.poll(peak).toBeLessThan(0.85 * before);
  await expect.poll(() => bench.read(four)).toMatch(/half_burned: 20 deg/);
  await expect(page.getByRole("heading", { name: "Gas and torque" })).toBeVisible();
});

test("a broken file asks no tool", async ({ page, bench }) => {
  const asked: string[] = [];
  page.on("request", (r) => {
    if (/\/api\/(torque|gas|power|flywheel)$/.test(r.url())) asked.push(r.url());
  });
  await page.goto(`${bench.address}${engine(four)}`);
  await expect(panel(page, "Torque").getByText(/^At full load the gas gives/)).toBeVisible();
  expect(asked.length).toBeGreaterThan(0);
  bench.change(four, "stroke: 86 mm", "stroke: -86 mm");
  await expect(
    page
      .getByRole("region", { name: /problem/i })
      .or(page.getByText(/stroke/i).first())
      .first(),
  ).toBeVisible();
  await expect(page.locator("#drive .stale")).toBeVisible();
  asked.length = 0;
  await page.getByRole("tab", { name: "Power", exact: true }).click();
  await page.locator("#drive").getByLabel("Load", { exact: true }).fill("30");
  await page.waitForTimeout(800);
  expect(asked).toEqual([]);
  bench.change(four, "stroke: -86 mm", "stroke: 86 mm");
  await expect(
    panel(page, "Power").getByRole("img", { name: "Brake torque over speed" }),
  ).toBeVisible();
});

// One tool a test: axe alone takes seconds of a busy machine.
for (const width of [1440, 390])
  for (const [tool, name] of tools)
    test(`${width} px: ${tool} fits and axe finds nothing`, async ({ page, bench }) => {
      await page.setViewportSize({ width, height: 900 });
      await page.goto(`${bench.address}${engine(vee)}?drive=${tool}&off=2&section=drive`);
      await expect(panel(page, name).locator(".answer")).toBeVisible();
      await page.getByText(/values of gas, friction and what turns are assumed/).click();
      await expect(page.getByRole("region", { name: /^Each becomes a given value/ })).toBeVisible();
      await fitsAcross(page);
      if (width < 1000) return; // names, roles and contrast do not change with the width
      // Away from the bar at the foot, which covers whatever is under it.
      await page.evaluate(() => scrollTo(0, 0));
      expect(await violations(page)).toEqual([]);
    });
