import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { engine, expect, test } from "./bench.ts";
import { holds, take } from "./take.ts";

const four = "inline-four-flat";
const single = "single";
const vee = "vee-eight-90-cross";

test.use({ engines: [four, single, vee], contextOptions: { reducedMotion: "reduce" } });

const tools = ["counterweights", "shafts", "bobweights", "residual", "tolerances", "matching"];

test("a balance factor trades the upright force for one across", async ({ page, bench }) => {
  await page.goto(`${bench.address}${engine(single)}?tool=counterweights`);
  const tool = page.getByRole("tabpanel", { name: "counterweights" });
  const shape = (what: string) => tool.getByRole("img", { name: new RegExp(`^${what}`) });
  await expect(shape("1st order force after")).toBeVisible();
  const slider = tool.getByLabel("Balance factor, slider");
  /** Whether the path after is a circle: at most is at least. */
  const round = async () => {
    const label = (await shape("1st order force after").getAttribute("aria-label")) ?? "";
    const [most, least] = [...label.matchAll(/[:,] ([\d.]+)/g)].map((m) => m[1]);
    return most !== undefined && most === least;
  };
  await slider.fill("0");
  await expect.poll(round).toBe(false);
  await slider.fill("50"); // half the reciprocating mass
  await expect.poll(round).toBe(true);
  await tool.getByLabel("Radius limit").fill("60 mm");
  await tool.getByLabel("Radius limit").press("Enter");
  await expect(tool.getByText("Metal added")).toBeVisible();
  await slider.fill("70");
  await tool.getByRole("button", { name: "Put these counterweights into the file" }).click();
  await expect.poll(() => bench.read(single)).toMatch(/counterweights: \{balance_factor: 70 %\}/);
});

test("the shafts of a flat four come out of the search and go into the file", async ({
  page,
  bench,
}) => {
  await page.goto(`${bench.address}${engine(four)}?tool=shafts`);
  const tool = page.getByRole("tabpanel", { name: "shafts" });
  await expect(tool.getByText("2 shafts do it; no smaller set does.")).toBeVisible();
  await expect(tool.getByRole("row", { name: /2nd order force/ })).toContainText("met");
  const places = tool.getByLabel(/^Places of the axes/);
  await places.fill("60");
  await expect(tool.getByText("“60” is no place", { exact: false })).toBeVisible();
  await places.fill("70, -30; -70, -30");
  await expect(tool.getByText("“60” is no place", { exact: false })).toBeHidden();
  const put = tool.getByRole("button", { name: "Put the smallest set into the file" });
  await expect(tool.getByRole("row", { name: /^1 −2 70, −30/ })).toBeVisible();
  await put.click();
  await expect.poll(() => bench.read(four)).toMatch(/speed_ratio: -2, y: 70 mm, z: -30 mm/);
  await expect(page.locator(".results .first dl")).toContainText("2nd order force");
  await expect(page.locator(".results .first dl")).toContainText(
    /2nd order force\s*(0|<\s0\.001)\sN/,
  );
});

test("cards, grades, corrections, tolerances and matched parts", async ({ page, bench, watch }) => {
  watch.expected = /422.*correction$/; // the job that is wrong on purpose
  await page.goto(`${bench.address}${engine(vee)}?tool=bobweights`);
  const panel = (name: string) => page.getByRole("tabpanel", { name });
  await expect(panel("bobweights").getByText("Is 50 % right?")).toBeVisible();
  const card = (f: string) =>
    take(page, () =>
      panel("bobweights")
        .getByRole("button", { name: `Card, ${f}` })
        .click(),
    );
  holds(await card("HTML"), /^html$/);
  holds(await card("PDF"), /^pdf$/);
  holds(await card("CSV"), /^csv$/);
  await panel("bobweights").getByRole("button", { name: "Take an example" }).click();
  await expect(panel("bobweights").getByText(/from example/)).toBeVisible();
  await expect(panel("bobweights").getByRole("row", { name: /piston pin/ })).toBeVisible();

  await page.getByRole("tab", { name: "Residual unbalance" }).click();
  await expect(page).toHaveURL(/tool=residual/);
  const residual = panel("residual");
  await residual.getByLabel("Mass of the rotor").fill("20 kg");
  await residual.getByLabel("Speed", { exact: true }).fill("3000 rpm");
  await residual.getByLabel("Speed", { exact: true }).press("Enter");
  await expect(residual.getByText("1019 g mm").first()).toBeVisible(); // G16, 20 kg, 3000 rpm
  await residual.getByRole("button", { name: "Take an example" }).click();
  await expect(residual.getByText("Within what may stay")).toBeVisible();
  await expect(residual.getByRole("img", { name: /^Both planes/ })).toBeVisible();
  holds(
    await take(page, () => residual.getByRole("button", { name: "PDF", exact: true }).click()),
    /^pdf$/,
  );
  await residual.getByLabel(/^What the machine measured/).fill("planes: 3");
  await expect(residual.getByText("This cannot be computed")).toBeVisible();

  await page.getByRole("tab", { name: "Tolerances" }).click();
  const tolerances = panel("tolerances");
  await expect(tolerances.getByText(/matters most/)).toBeVisible();
  await tolerances.getByLabel("Pin angle ±").fill("2 deg");
  await tolerances.getByLabel("Pin angle ±").press("Enter");
  await expect(
    tolerances.getByText("The tolerance of the pin angle matters most", { exact: false }),
  ).toBeVisible();

  await page.getByRole("tab", { name: "Matching parts" }).click();
  const matching = panel("matching");
  await matching.getByRole("button", { name: "Take an example" }).click();
  await expect(matching.getByText("The best of all assignments, proven")).toBeVisible();

  await test.step("what was typed stays while other tools are looked at", async () => {
    const list = await matching.getByLabel("Weighed pistons and rods").inputValue();
    await page.getByRole("tab", { name: "Tolerances" }).click();
    await expect(tolerances.getByLabel("Pin angle ±")).toHaveValue("2 deg");
    await page.getByRole("tab", { name: "Matching parts" }).click();
    await expect(matching.getByLabel("Weighed pistons and rods")).toHaveValue(list);
  });
});

test("a value typed just before the click counts, and the server may go and come back", async ({
  page,
  bench,
  watch,
}) => {
  watch.expected = /ERR_|preload/;
  await page.goto(`${bench.address}${engine(single)}?tool=counterweights`);
  const tool = page.getByRole("tabpanel", { name: "Counterweights" });
  const put = tool.getByRole("button", { name: "Put these counterweights into the file" });
  await expect(put).toBeDisabled(); // the file has them already
  const factor = tool.getByLabel("Balance factor", { exact: true });
  await factor.fill("much");
  await factor.press("Tab");
  await expect(factor).toHaveAttribute("aria-invalid", "true");
  await tool.getByLabel("Balance factor, slider").fill("64");
  await expect(factor).toHaveValue("64 %");
  await factor.fill("66");
  // The answer too, not the file alone: a server that ends before it answers leaves a save that is tried again.
  const saved = page.waitForResponse(
    (r) =>
      r.request().method() !== "GET" &&
      r.url().endsWith(engine(single).replace("/engine", "/api/engines")),
  );
  await put.click();
  expect((await saved).ok()).toBe(true);
  await expect.poll(() => bench.read(single)).toMatch(/counterweights: \{balance_factor: 66 %\}/);

  await bench.end();
  await tool.getByLabel("Balance factor, slider").fill("30");
  await expect(tool.getByText("The server does not answer")).toBeVisible();
  await bench.start();
  await expect(tool.getByText("The server does not answer")).toBeHidden({ timeout: 20_000 });
});

// One tool a test: axe alone takes seconds of a busy machine.
for (const width of [1440, 390])
  for (const tool of tools)
    test(`${width} px: ${tool} fits and axe finds nothing`, async ({ page, bench, watch }) => {
      watch.expected = /422/;
      await page.setViewportSize({ width, height: 900 });
      await page.goto(`${bench.address}${engine(vee)}?tool=${tool}&section=balancing`);
      const panel = page.getByRole("tabpanel", { name: tool });
      await expect(panel.getByRole("textbox").first()).toBeVisible();
      const example = panel.getByRole("button", { name: "Take an example" });
      if (await example.count()) await example.click();
      await expect(panel.locator(".answer").first()).toBeVisible();
      await fitsAcross(page);
      if (width < 1000) return; // names, roles and contrast do not change with the width
      // Away from the bar at the foot, which covers whatever is under it.
      await page.evaluate(() => scrollTo(0, 0));
      expect(await violations(page)).toEqual([]);
    });
