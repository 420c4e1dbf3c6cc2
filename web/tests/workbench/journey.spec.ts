import type { Page } from "@playwright/test";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { expect, frames, ready, test } from "./bench.ts";
import { holds, take } from "./take.ts";

const vee = "vee-eight-90-cross";
const radial = "radial-five";

const angle = async (page: Page) =>
  Number(await page.getByLabel("Crank angle in degrees").inputValue());

/** Runs with a dialog open and closes it. */
async function inDialog(page: Page, button: string, does: () => Promise<void>): Promise<void> {
  await page.getByRole("button", { name: button, exact: true }).click();
  await expect(page.getByRole("dialog")).toBeVisible();
  await does();
  await page.keyboard.press("Escape");
  await expect(page.getByRole("dialog")).toBeHidden();
}

/** A picture of an engine as it stands. */
const picture = (page: Page, index: number) => page.locator("canvas").nth(index).screenshot();

test("from the first view to an engine of one's own", async ({ page, bench }) => {
  const heads = page.locator("main h2 a");
  const figures = page.getByRole("table", { name: "Figures of the engines" });
  const play = page.getByRole("button", { name: "Play", exact: true });
  const pause = page.getByRole("button", { name: "Pause", exact: true });
  const crank = page.getByRole("slider", { name: "Crank angle" });

  await test.step("the first view stands without a click, and it moves", async () => {
    await page.goto(bench.address);
    await expect(heads).toHaveCount(4);
    await expect(figures.getByText("best").first()).toBeVisible();
    await expect(figures.getByText("worst").first()).toBeVisible();
    await expect(pause).toBeVisible();
    const before = await angle(page);
    await expect.poll(() => angle(page)).not.toBe(before);
  });

  await test.step("pause", async () => {
    await pause.click();
    await expect(play).toBeVisible();
    const still = await angle(page);
    await frames(page, 3);
    expect(await angle(page)).toBe(still);
  });

  await test.step("choose engines", async () => {
    await inDialog(page, "Choose engines", async () => {
      const dialog = page.getByRole("dialog");
      const taken = dialog.getByRole("checkbox", { checked: true });
      while ((await taken.count()) > 1) {
        const many = await taken.count();
        await taken.last().uncheck();
        await expect(taken).toHaveCount(many - 1);
      }
      const first = await taken.first().evaluate((e) => e.closest("li")?.textContent ?? "");
      for (const name of ["Vee eight 90°, cross-plane", "Radial five"])
        await dialog.getByRole("checkbox", { name: new RegExp(name, "i") }).check();
      await dialog.getByRole("checkbox", { name: first.trim().slice(0, 20) }).uncheck();
    });
    await expect(heads).toHaveCount(2);
    await expect(page).toHaveURL(new RegExp(`show=${vee},${radial}|show=${radial},${vee}`));
  });

  await test.step("engines in three dimensions, in step with the clock", async () => {
    await expect(page.locator("main canvas[data-keys]")).toHaveCount(2);
    // The flat picture goes when the solid one stands.
    await expect(page.getByRole("img", { name: /from the drive end$/ })).toHaveCount(0, {
      timeout: 20_000,
    });
  });

  await test.step("scrub, step, play", async () => {
    const before = await picture(page, 0);
    await crank.fill("200");
    expect(await angle(page)).toBe(200);
    await expect(page).toHaveURL(/angle=200/);
    await expect.poll(async () => (await picture(page, 0)).equals(before)).toBe(false);
    await page.locator("body").press("ArrowRight");
    expect(await angle(page)).toBe(201);
    await page.locator("body").press("k");
    await expect(pause).toBeVisible();
    await page.locator("body").press("k");
    await expect(play).toBeVisible();
  });

  await test.step("jump to a top dead centre", async () => {
    const response = await page.request.get(`${bench.address}/api/engines/${vee}.engine.yaml`);
    const view = (await response.json()) as {
      geometry: { cylinders: { name: string; tdc_deg: number }[] };
    };
    const two = view.geometry.cylinders.find((c) => c.name === "2");
    await crank.fill("10");
    const choice = page.getByLabel("Jump to a top dead centre");
    const option = choice.locator("optgroup", { hasText: "cylinder 8" }).locator("option", {
      hasText: /cylinder 2$/,
    });
    await choice.selectOption(await option.evaluate((o: HTMLOptionElement) => o.value));
    expect(await angle(page)).toBeCloseTo(two?.tdc_deg ?? -1, 1);
  });

  await test.step("switch arrows, orders and the view", async () => {
    const before = await picture(page, 0);
    await page.getByRole("checkbox", { name: "Each cylinder" }).check();
    await expect(page).toHaveURL(/arrows=[^&]*pistons/);
    await expect.poll(async () => (await picture(page, 0)).equals(before)).toBe(false);
    const pistons = await picture(page, 0);
    await page.getByRole("checkbox", { name: "1", exact: true }).check();
    await expect(page).toHaveURL(/order=1/);
    await expect.poll(async () => (await picture(page, 0)).equals(pistons)).toBe(false);
    await page.getByRole("radio", { name: "Drive end" }).check();
    await expect(page).toHaveURL(/view=drive-end/);
    await page.getByRole("checkbox", { name: /Block vibration/ }).check();
    await expect(page.getByText(/times too large/)).toBeVisible();
  });

  const row = (name: RegExp) => figures.getByRole("row", { name });

  await test.step("change the speed of all", async () => {
    const force = row(/largest free force|peak free force|free force.*all/i).first();
    const before = await force.innerText();
    await page.getByRole("checkbox", { name: "One speed for all" }).check();
    await page.getByRole("spinbutton", { name: /speed/i }).fill("3000");
    await page.keyboard.press("Tab");
    await expect(page).toHaveURL(/speed=3000/);
    await expect.poll(() => force.innerText()).not.toBe(before);
  });

  await test.step("differences against a baseline", async () => {
    await page.getByRole("button", { name: "Measure the others against it" }).first().click();
    await expect(page.getByRole("button", { name: "Is the baseline" })).toHaveCount(1);
    await expect(figures.getByText(/^[+−].*%\)|same/).first()).toBeVisible();
    await page.getByRole("checkbox", { name: "One speed for all" }).uncheck();
  });

  await test.step("open an engine's page", async () => {
    await page
      .getByRole("link", { name: /cross-plane/ })
      .first()
      .click();
    await expect(page).toHaveURL(new RegExp(`/engine/${vee}`));
    await expect(page.getByRole("heading", { level: 1, name: /cross-plane/ })).toBeVisible();
  });

  const state = page.locator("header.sheet [role=status]");
  const saved = () => expect(state).toHaveText("saved");
  const numbers = page.locator(".results .first dl");

  await test.step("inches in a field of millimetres", async () => {
    const before = await numbers.innerText();
    const spacing = page.getByLabel("Cylinder spacing", { exact: true });
    await spacing.fill("100"); // of millimetres, as the file has it; room for the bore
    await spacing.press("Enter");
    await saved();
    expect(bench.read(vee)).toContain("cylinder_spacing: 100 mm\n");
    const bore = page.getByLabel("Bore", { exact: true });
    await bore.fill("3.5 in");
    await expect(page.getByText("88.9 mm").first()).toBeVisible();
    await bore.press("Enter");
    await saved();
    expect(bench.read(vee)).toContain("bore: 3.5 in\n");
    expect(bench.read(vee)).toContain("# Counterweights take all of the first order");
    expect(bench.read(vee)).toContain("# half the reciprocating mass");
    const rod = page.getByLabel("Rod length", { exact: true });
    await rod.fill("120 mm");
    await rod.press("Enter");
    await expect.poll(() => numbers.innerText()).not.toBe(before);
    await saved();
    expect(bench.read(vee)).toContain("rod: {length: 120 mm, mass: 0.251 kg");
  });

  const handle = page.getByRole("slider", { name: "Throw T2" });
  const at = async () => Number(await handle.getAttribute("aria-valuenow"));

  await test.step("drag a throw by the mouse; the numbers follow before it is let go", async () => {
    const before = await numbers.innerText();
    const text = bench.read(vee);
    const from = await handle.boundingBox();
    const end = await page.getByRole("group", { name: /End view/ }).boundingBox();
    if (!from || !end) throw new Error("the end view has no place");
    const x = from.x + from.width / 2;
    const y = from.y + from.height / 2;
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 25, y + 25, { steps: 4 });
    await page.mouse.move(x + 45, y + 60, { steps: 4 });
    await expect.poll(() => numbers.innerText()).not.toBe(before);
    expect(bench.read(vee)).toBe(text);
    await page.mouse.up();
    await saved();
    expect(await at()).not.toBe(90);
    expect(bench.read(vee)).not.toBe(text);
  });

  await test.step("turn it by keys", async () => {
    const before = await at();
    await handle.focus();
    await handle.press("ArrowUp");
    await handle.press("ArrowUp");
    await handle.press("Shift+ArrowUp");
    await saved();
    expect(await at()).toBeCloseTo((before + 12) % 360, 3);
    const pins = /pins: \[0, ([\d.]+), /.exec(bench.read(vee))?.[1];
    expect(Number(pins)).toBeCloseTo(await at(), 3);
  });

  await test.step("undo and redo", async () => {
    const turned = await at();
    const text = bench.read(vee);
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await expect.poll(at).not.toBe(turned);
    expect(bench.read(vee)).not.toBe(text);
    await page.getByRole("button", { name: "Redo", exact: true }).click();
    await expect.poll(at).toBe(turned);
    expect(bench.read(vee)).toBe(text);
    await page.locator("body").press("Control+z"); // by keys
    await expect.poll(at).not.toBe(turned);
    // Keys that follow each other slowly are saved one by one, and taken back so.
    await expect(async () => {
      if ((await at()) !== 90) {
        await page.getByRole("button", { name: "Undo", exact: true }).click();
      }
      await expect.poll(at, { timeout: 1500 }).toBe(90);
    }).toPass({ timeout: 15000 });
    expect(bench.read(vee)).toContain("pins: [0, 90, 270, 180] deg");
  });

  await test.step("every number says why", async () => {
    const why = page.locator("#force details").first();
    await why.locator("summary").click();
    await expect(why.getByText(/^Source: \S/)).toBeVisible();
    await expect(why.locator(".formula")).toHaveText(/\S/);
    await expect(page.locator("#firing li").first()).toHaveText(/\S/); // in words
  });

  await test.step("save a state", async () => {
    await inDialog(page, "Snapshots", async () => {
      await page.getByLabel("Name", { exact: true }).last().fill("longer rods");
      await page.getByRole("button", { name: "Keep the line-up" }).click();
      await expect(page.getByRole("dialog").getByRole("listitem")).toContainText("longer rods");
    });
  });

  await test.step("take a firing order", async () => {
    const orders = page.getByRole("region", { name: "Firing orders" });
    const other = orders
      .getByRole("row")
      .filter({ has: page.getByRole("button") })
      .first();
    const order = (await other.getByRole("rowheader").innerText()).trim();
    await other.getByRole("button", { name: "Take" }).click();
    await expect(orders.getByRole("row", { name: /as it stands/ })).toContainText(order);
    await saved();
    expect(bench.read(vee)).toContain(`firing_order: [${order.split("-").join(", ")}]`);
  });

  await test.step("back in the line-up as it was left", async () => {
    await page.getByRole("link", { name: "Line-up", exact: true }).click();
    await expect(heads).toHaveCount(2);
    await expect(page).toHaveURL(/arrows=[^&]*pistons/);
    await expect(page.getByRole("button", { name: "Is the baseline" })).toHaveCount(1);
    await expect(page.getByRole("radio", { name: "Drive end" })).toBeChecked();
    await expect(page.getByRole("img", { name: /from the drive end$/ })).toHaveCount(0);
  });
});

test("everything can be taken away", async ({ page, bench }) => {
  // The shortest film will do: one second a turn.
  await ready(page, `${bench.address}/?show=${radial},${vee}&view=drive-end&angle=30&pace=1`);

  await test.step("pictures, tables, models and pages", async () => {
    await page.getByRole("button", { name: "Take away" }).click();
    const dialog = page.getByRole("dialog");
    const get = (name: string | RegExp, timeout?: number) =>
      take(
        page,
        () =>
          dialog
            .getByRole("button", typeof name === "string" ? { name, exact: true } : { name })
            .first()
            .click(),
        timeout,
      );

    holds(await get("SVG"), /^svg$/);
    holds(await get("PNG"), /^png$/);
    holds(await get("Picture, PNG"), /^png$/);
    holds(await get("Table"), /^csv$/);
    holds(await get("orders, CSV"), /^csv$/);
    holds(await get("Model, glTF"), /^glb$/);
    holds(await get("Report"), /^html$/);

    const html = await get("Moving page");
    holds(html, /^html$/);
    const file = join(bench.folder, "taken.html");
    writeFileSync(file, html.bytes);
    const offline = await page.context().newPage();
    await offline.context().setOffline(true);
    const asked: string[] = [];
    offline.on("request", (r) => asked.push(r.url()));
    await offline.goto(pathToFileURL(file).href);
    const drawing = offline.locator("canvas, svg").first();
    await expect(drawing).toBeVisible();
    const first = await drawing.screenshot();
    await expect.poll(async () => (await drawing.screenshot()).equals(first)).toBe(false);
    expect(asked).toEqual([pathToFileURL(file).href]);
    await offline.close();
    await page.context().setOffline(false);
  });

  await test.step("take a film", async () => {
    const dialog = page.getByRole("dialog");
    const film = dialog.locator("section", {
      has: page.getByRole("heading", { name: "Film", exact: true }),
    });
    for (const select of await film.locator("select").all()) {
      await select.selectOption({ index: 0 });
    }
    const made = await take(
      page,
      () =>
        film
          .getByRole("button", { name: /film|record|make/i })
          .first()
          .click(),
      60_000,
    );
    holds(made, /^(mp4|webm)$/);
  });
});
