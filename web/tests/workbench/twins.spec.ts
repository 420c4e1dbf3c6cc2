import { cpSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { engine, expect, test } from "./bench.ts";

// Names may repeat: a file that was copied keeps the name of its engine, and one mode is met by many orders.

const three = "inline-three";

test.use({ engines: [three], contextOptions: { reducedMotion: "reduce" } });

test("two engines of one name are both ruled out by a limit", async ({ page, bench }) => {
  cpSync(bench.path(three), bench.path("three-again"));
  writeFileSync(
    join(bench.folder, "short.brief.yaml"),
    "name: Short\npriorities: {smoothness: 5}\nlimits: {length: <= 100 mm}\n",
  );
  await page.goto(`${bench.address}/choice`);
  const limits = page.getByRole("region", { name: "Limits" });
  await limits.getByText(/^rules out 2, the nearest by/).click();
  await expect(limits.getByRole("listitem").filter({ hasText: /^\s*Inline three:/ })).toHaveCount(
    2,
  );
});

test("a mode that many orders meet is marked at each speed, and two people of one name are refused", async ({
  page,
  bench,
}) => {
  const mount = (name: string, at: number, y: number) =>
    `    - {name: ${name}, at: ${at} mm, y: ${y} mm, z: -20 mm, loss_factor: 0.1, ` +
    "stiffness: {x: 800 N/mm, y: 800 N/mm, z: 2400 N/mm}}\n";
  const stiff =
    bench.read(three) +
    "mounts:\n  isolators:\n" +
    mount("a", -160, -210) +
    mount("b", -160, 210) +
    mount("c", 300, -230) +
    mount("d", 300, 230);
  bench.write(three, stiff);
  await page.goto(`${bench.address}${engine(three)}?mounts=forces`);
  const forces = page.locator("#mounts").getByRole("tabpanel", { name: "Forces", exact: true });
  await forces.scrollIntoViewIfNeeded();
  const plot = forces.getByRole("img", { name: /^Force into the structure/ });
  await expect(plot).toBeVisible();
  expect(await plot.locator("text").filter({ hasText: "mode 4" }).count()).toBeGreaterThan(1);

  const seat = "    - {name: seat, felt_by: seat, on: engine}\n";
  bench.write(three, `${stiff}people:\n  points:\n${seat}${seat}`);
  await expect(page.getByText(/the name "seat" is that of number 1 too/).first()).toBeVisible();
});

test("a page that fails says so, and can be shown again", async ({ page, bench, watch }) => {
  watch.expected = /TypeError/;
  writeFileSync(
    join(bench.folder, "short.brief.yaml"),
    "name: Short\npriorities: {smoothness: 5}\n",
  );
  await page.route("**/api/choice", (route) =>
    route.fulfill({ json: { left_out: [], unknown: [], choice: { brief: {}, engines: [{}] } } }),
  );
  await page.goto(`${bench.address}/choice`);
  await expect(page.getByRole("heading", { name: "This page cannot be shown" })).toBeVisible();
  await expect(page.getByRole("button", { name: "Load the workbench anew" })).toBeVisible();
  await page.unroute("**/api/choice");
  await expect(async () => {
    await page.getByRole("button", { name: "Try again" }).click({ timeout: 2000 });
    await expect(page.getByRole("region", { name: "Ranking" })).toBeVisible({ timeout: 5000 });
  }).toPass();
});
