import type { Page } from "@playwright/test";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { engine, expect, test } from "./bench.ts";

const four = "inline-four-flat";

test.use({ engines: [four], contextOptions: { reducedMotion: "reduce" } });

const tools = [
  ["modes", "Modes"],
  ["forces", "Forces"],
  ["better", "Better mounts"],
  ["people", "People"],
] as const;
const panel = (page: Page, name: string) =>
  page.locator("#mounts").getByRole("tabpanel", { name, exact: true });

/** What the server says of the file as it stands. */
async function said(page: Page, address: string, text: string) {
  const answer = await page.request.post(`${address}/api/mounts`, {
    data: { text, load_percent: 100 },
  });
  expect(answer.ok()).toBe(true);
  return (await answer.json()) as {
    modes: { frequency_Hz: number; main: string }[];
    worst: { total_N: number; speed_rpm: number };
    people: { name: string; worst: { daily_ms2: number } }[];
  };
}

const people = `people:
  points:
    - {name: helm seat, felt_by: seat, on: structure, at: 900 mm, y: 0 mm, z: 300 mm, mass: 900 kg}
    - {name: hand lever, felt_by: hand, on: engine, at: 100 mm, y: 200 mm, z: 250 mm}
`;

test("modes: those of the server, and one is chosen and swings when it is wanted", async ({
  page,
  bench,
}) => {
  const d = await said(page, bench.address, bench.read(four));
  await page.goto(`${bench.address}${engine(four)}?mounts=modes`);
  const modes = panel(page, "Modes");
  const list = modes.getByRole("list", { name: "Natural modes" }).getByRole("button");
  await expect(list).toHaveCount(6);
  for (const [i, m] of d.modes.entries()) {
    await expect(list.nth(i)).toContainText(m.main);
    await expect(list.nth(i)).toContainText(String(Number(m.frequency_Hz.toPrecision(3))));
  }
  const bounce = d.modes.findIndex((m) => m.main === "bounce");
  await list.nth(bounce).click();
  await expect(
    modes.getByRole("heading", { name: new RegExp(`^Mode ${bounce + 1}: .* mainly bounce`) }),
  ).toBeVisible();
  const centre = modes.getByRole("img", { name: /^From the drive end/ }).locator("circle.centre");
  const still = await centre.getAttribute("cy");
  const swing = modes.getByRole("button", { name: "Let it swing" });
  await expect(swing).toBeVisible(); // the reader asked for less motion
  await swing.click();
  await expect.poll(() => centre.getAttribute("cy")).not.toBe(still);
  await modes.getByRole("button", { name: "Hold it still" }).click();
  await expect(centre).toHaveAttribute("cy", still ?? "");
});

test("forces: the numbers of the server, and less load lowers them", async ({ page, bench }) => {
  const d = await said(page, bench.address, bench.read(four));
  await page.goto(`${bench.address}${engine(four)}?mounts=forces`);
  const forces = panel(page, "Forces");
  const picture = forces.getByRole("img", { name: /^Force into the structure/ });
  const worst = String(Number(d.worst.total_N.toPrecision(3)));
  await expect(picture).toHaveAttribute("aria-label", new RegExp(`at most ${worst}\\sN`));
  await expect(forces.getByRole("rowheader", { name: "mounts half as stiff" })).toBeVisible();
  await page.locator("#mounts").getByLabel("Load of the sweep", { exact: true }).fill("30");
  await expect(picture).not.toHaveAttribute("aria-label", new RegExp(`at most ${worst}\\sN`));
});

test("better mounts are found, go into the file, and undo takes them back", async ({
  page,
  bench,
}) => {
  const before = bench.read(four);
  await page.goto(`${bench.address}${engine(four)}?mounts=better`);
  const better = panel(page, "Better mounts");
  await better.getByRole("button", { name: "Search for better mounts" }).click();
  const sag = better.getByRole("row", { name: /^Largest sag/ });
  await expect(sag).toContainText("or less", { timeout: 20_000 });
  await better.getByLabel("Largest sag", { exact: true }).fill("5");
  await expect(better.getByText(/search again/)).toBeVisible();
  const put = better.getByRole("button", { name: "Put these mounts into the file" });
  await expect(put).toBeDisabled();
  await better.getByRole("button", { name: "Search for better mounts" }).click();
  await expect(sag).toContainText(/5\smm or less/, { timeout: 20_000 });
  await put.click();
  await expect.poll(() => bench.read(four)).toMatch(/isolators:[^]*lean: /);
  await expect(better.getByRole("button", { name: "These mounts are in the file" })).toBeDisabled();
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await expect.poll(() => bench.read(four)).toBe(before);
  await expect(put).toBeEnabled();
});

test("people: who is told of in the file is judged, and the caution stands beside", async ({
  page,
  bench,
}) => {
  bench.write(four, `${bench.read(four)}${people}`);
  const d = await said(page, bench.address, bench.read(four));
  const worst = d.people[1]?.worst.daily_ms2 ?? 0;
  expect(worst).toBeGreaterThan(0);
  await page.goto(`${bench.address}${engine(four)}?mounts=people`);
  const tool = panel(page, "People");
  await expect(tool.getByRole("note")).toContainText("decided by measurement");
  await expect(
    tool.getByRole("row", {
      name: new RegExp(`^hand lever worst .* ${Number(worst.toPrecision(3))} `),
    }),
  ).toBeVisible();
  await expect(tool.getByText(/hand lever, felt by the hand|felt by the hand/)).toBeVisible();
  await expect(tool.getByRole("img", { name: /^Hand and arm: weighted/ })).toBeVisible();
  expect(await violations(page)).toEqual([]);
  await page.setViewportSize({ width: 390, height: 844 });
  await fitsAcross(page);
});

test("a file that names nobody is told how, and a broken one asks no tool", async ({
  page,
  bench,
}) => {
  await page.goto(`${bench.address}${engine(four)}?mounts=people`);
  const tool = panel(page, "People");
  await expect(tool.getByText(/names nobody/)).toBeVisible();
  const example = await tool.getByRole("region", { name: "Example of people" }).innerText();
  await said(page, bench.address, `${bench.read(four)}${example}\n`); // the example is a right one
  let asked = 0;
  page.on("request", (r) => {
    if (r.url().endsWith("/api/mounts")) asked++;
  });
  bench.change(four, "bore:", "bore: 3 parsecs #");
  await expect(page.getByText(/parsecs/).first()).toBeVisible();
  expect(asked).toBe(0);
});

for (const [id, name] of tools)
  test(`${id} is sound for those who do not see it, and fits a narrow page`, async ({
    page,
    bench,
  }) => {
    await page.setViewportSize({ width: 390, height: 844 });
    await page.goto(`${bench.address}${engine(four)}?mounts=${id}`);
    await expect(
      page
        .locator("#mounts")
        .getByText(/For concept work:/)
        .first(),
    ).toBeVisible();
    await expect(panel(page, name)).toBeVisible();
    if (id === "better") {
      await panel(page, name).getByRole("button", { name: "Search for better mounts" }).click();
      await expect(panel(page, name).getByText("were judged", { exact: false })).toBeVisible({
        timeout: 20_000,
      });
    }
    expect(await violations(page)).toEqual([]);
    await fitsAcross(page);
  });
