import { readFileSync } from "node:fs";
import { engine, expect, ready, test } from "./bench.ts";

const four = "inline-four-flat";
const three = "inline-three";

test.use({
  engines: [four, three, "vee-twin-90"],
  contextOptions: { reducedMotion: "reduce" }, // what moves is the matter of other tests
});

test("a change from outside shows at once", async ({ page, bench }) => {
  await ready(page, `${bench.address}${engine(four)}?view=flat`);
  const bore = page.getByLabel("Bore", { exact: true });
  const numbers = page.locator(".results .first dl");
  const before = await numbers.innerText();
  const old = await bore.inputValue();

  bench.write(four, bench.read(four).replace(/bore: .*/, "bore: 80 mm # by another program"));
  await expect(bore).toHaveValue("80 mm");
  await expect(page.getByText(/Changed outside/)).toContainText(four);
  bench.write(four, bench.read(four).replace(/stroke: .*/, "stroke: 70 mm"));
  await expect(page.getByLabel("Stroke", { exact: true })).toHaveValue("70 mm");
  await expect.poll(() => numbers.innerText()).not.toBe(before);
  await page.getByRole("button", { name: "All right" }).click();
  await expect(page.getByText(/Changed outside/)).toBeHidden();

  await test.step("and undo takes it back", async () => {
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await expect(bore).toHaveValue(old);
  });

  await test.step("in the line-up as well, new files too", async () => {
    await page.getByRole("link", { name: "Line-up", exact: true }).click();
    await expect(page.locator("main h2 a")).toHaveCount(3);
    bench.write("another", bench.read(three).replace(/name: .*/, "name: Another three"));
    await expect(page.getByRole("link", { name: "Another three" })).toBeVisible();
    bench.write(three, bench.read(three).replace(/name: .*/, "name: Renamed outside"));
    await expect(page.getByRole("link", { name: "Renamed outside" })).toBeVisible();
  });
});

test("a conflict is shown and never overwrites", async ({ page, bench, watch }) => {
  watch.expected = /412|409/; // the browser notes every refusal on its console
  await ready(page, `${bench.address}${engine(four)}?view=flat`);
  const stroke = page.getByLabel("Stroke", { exact: true });
  await expect(stroke).toBeEnabled();

  /** Types while the other program writes, so that saving meets a file that it does not know. */
  const clash = async (mine: string, theirs: string) => {
    await stroke.fill(mine);
    bench.write(four, bench.read(four).replace(/bore: .*/, `bore: ${theirs}`));
    await expect(page.getByText(/Changed outside/)).toBeVisible();
    await stroke.press("Enter");
    await expect(page.getByRole("alertdialog")).toBeVisible();
    expect(bench.read(four)).toContain(`bore: ${theirs}`);
    expect(bench.read(four)).not.toContain(mine);
  };

  await clash("91 mm", "81 mm");
  const asked = page.getByRole("alertdialog");
  await expect(asked.getByRole("row", { name: /stroke/ })).toContainText("91 mm");
  await asked.getByRole("button", { name: /Make my change/ }).click();
  await expect.poll(() => bench.read(four)).toContain("stroke: 91 mm");
  expect(bench.read(four)).toContain("bore: 81 mm");
  await expect(asked).toBeHidden();

  await clash("93 mm", "83 mm");
  await asked.getByRole("button", { name: /Keep the file/ }).click();
  await expect(stroke).toHaveValue("91 mm");
  expect(bench.read(four)).toContain("bore: 83 mm");
  expect(bench.read(four)).toContain("stroke: 91 mm");
});

test("a text that is being written is kept, and never overwrites", async ({
  page,
  bench,
  watch,
}) => {
  watch.expected = /412|409/;
  await ready(page, `${bench.address}${engine(four)}?view=flat`);
  const text = page.getByRole("textbox", { name: /^Text of/ });
  const mine = `${bench.read(four)}# mine\n`;
  await text.fill(mine);
  await expect(page.getByText("not saved", { exact: true })).toBeVisible();
  bench.write(four, bench.read(four).replace(/bore: .*/, "bore: 81 mm"));
  await expect(page.getByText(/Changed outside/)).toBeVisible();
  await expect(page.getByLabel("Bore", { exact: true })).toHaveValue("81 mm");

  await page.getByRole("link", { name: "← Line-up" }).click();
  await page
    .getByRole("link", { name: /Inline four/ })
    .first()
    .click();
  await expect(text).toHaveValue(mine);
  const asked = page.waitForEvent("dialog");
  void page.reload().catch(() => undefined);
  await (await asked).dismiss();
  await expect(text).toHaveValue(mine);

  await page.getByRole("button", { name: "Save text" }).click();
  const clash = page.getByRole("alertdialog");
  await expect(clash).toContainText("changed while you were writing its text");
  expect(bench.read(four)).toContain("bore: 81 mm");
  await clash.getByRole("button", { name: /Keep the file/ }).click();
  await expect(text).toHaveValue(bench.read(four));
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await expect(text).toHaveValue(mine);
  await page.getByRole("button", { name: "Save text" }).click();
  await clash.getByRole("button", { name: /Put my text/ }).click();
  await expect.poll(() => bench.read(four)).toBe(mine);
});

test("undo drops what is being tried before it takes the folder's last change back", async ({
  page,
  bench,
}) => {
  await ready(page, `${bench.address}${engine(four)}?view=flat`);
  const stroke = page.getByLabel("Stroke", { exact: true });
  const old = await stroke.inputValue();
  await stroke.fill("91 mm");
  await stroke.press("Enter");
  await expect.poll(() => bench.read(four)).toContain("stroke: 91 mm");
  const slider = page.getByRole("slider", { name: /^Stroke/ });
  await slider.focus();
  await slider.press("ArrowRight");
  await page.getByRole("button", { name: "Undo", exact: true }).dispatchEvent("click");
  await expect(stroke).toHaveValue("91 mm");
  expect(bench.read(four)).toContain("stroke: 91 mm");
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await expect(stroke).toHaveValue(old);
  await expect(page.getByRole("alertdialog")).toBeHidden();
});

test("bad input: the message stands beside the field, the text stays", async ({
  page,
  bench,
  watch,
}) => {
  // The orders may be asked for between the change of the file and the page's hearing of it.
  watch.expected = /422.*\/api\/orders/;
  await ready(page, `${bench.address}${engine(four)}?view=flat`);
  const before = bench.read(four);
  const bore = page.getByLabel("Bore", { exact: true });
  const said = () =>
    bore.evaluate((e) =>
      (e.getAttribute("aria-describedby") ?? "")
        .split(" ")
        .map((id) => document.getElementById(id)?.textContent ?? "")
        .join(" ")
        .trim(),
    );

  for (const wrong of ["86 lightyears", "-5 mm", "eighty"]) {
    await bore.fill(wrong);
    await bore.press("Tab");
    await expect(bore, wrong).toHaveAttribute("aria-invalid", "true");
    await expect.poll(said, { message: wrong }).toMatch(/\S.{5}/);
    await expect(bore).toHaveValue(wrong);
    await expect(page.locator("header.sheet [role=status]")).toHaveText(/not saved/);
    expect(bench.read(four)).toBe(before);
  }

  // Right in itself, impossible with the rest: the rod is shorter than the crank's throw.
  const rod = page.getByLabel("Rod length", { exact: true });
  await bore.fill("86 mm");
  await bore.press("Enter");
  await rod.fill("20 mm");
  await rod.press("Tab");
  await expect(rod).toHaveAttribute("aria-invalid", "true");
  await expect(rod).toHaveValue("20 mm");
  await expect(page.getByText(/rod/i).and(page.locator(".error")).first()).toBeVisible();
  expect(bench.read(four)).not.toContain("20 mm");
  await rod.fill("150 mm");
  await rod.press("Enter");
  await expect.poll(() => bench.read(four)).toContain("150 mm");
  await expect(rod).not.toHaveAttribute("aria-invalid");

  await test.step("a file with mistakes opens, says where, and is put right", async () => {
    bench.write(four, bench.read(four).replace(/bore: .*/, "bore: 5 parsec"));
    await expect(bore).toHaveAttribute("aria-invalid", "true");
    await expect(bore).toHaveValue("5 parsec");
    await expect(page.getByRole("button", { name: /^\d+ problem/ })).toBeEnabled();
    await bore.fill("86 mm");
    await bore.press("Enter");
    await expect.poll(() => bench.read(four)).toContain("bore: 86 mm");
  });
});

test("parts come and go: a balance shaft, its mass", async ({ page, bench }) => {
  await ready(page, `${bench.address}${engine(four)}?view=flat`);
  const add = (noun: string) => page.getByRole("button", { name: noun, exact: true });
  const numbers = page.locator(".results .first dl");
  const before = await numbers.innerText();
  await add("balance shaft").click();
  await expect.poll(() => bench.read(four)).toMatch(/balance_shafts:\n\s+- \{speed_ratio: -1/);
  expect(await numbers.innerText()).toBe(before); // it weighs nothing yet
  const unbalance = page
    .getByLabel(/unbalance/i)
    .and(page.locator("[id*=balance_shafts]"))
    .first();
  await unbalance.fill("5 kg mm");
  await unbalance.press("Enter");
  await expect.poll(() => numbers.innerText()).not.toBe(before);
  await add("mass").click();
  await expect.poll(() => bench.read(four)).toMatch(/masses: \[\{.*\}, \{at: 0 mm/);
  await page.getByRole("button", { name: "Take mass 2 out" }).click();
  await page.getByRole("button", { name: "Take balance shaft 1 out" }).click();
  await expect.poll(() => bench.read(four)).not.toContain("balance_shafts");
  await expect.poll(() => numbers.innerText()).toBe(before);
});

test("a file that is deleted outside", async ({ page, bench, watch }) => {
  watch.expected = /404/;
  await ready(page, `${bench.address}/?view=flat`);
  await expect(page.locator("main h2 a")).toHaveCount(3);
  bench.remove(three);
  await expect(page.locator("main h2 a")).toHaveCount(2);

  await page.locator("main h2 a").first().click();
  await expect(page.getByText("Largest force")).toBeVisible();
  const file = decodeURIComponent(new URL(page.url()).pathname.slice("/engine/".length));
  const gone = file.replace(".engine.yaml", "");
  const text = readFileSync(bench.path(gone), "utf8");
  bench.remove(gone);
  await expect(page.getByRole("heading", { name: `There is no ${file}` })).toBeVisible();

  await test.step("undo brings it back", async () => {
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await expect.poll(() => bench.files()).toContain(gone);
    expect(bench.read(gone)).toBe(text);
  });
});

test.describe("an empty folder", () => {
  test.use({ engines: [] });

  test("becomes an engine in two clicks", async ({ page, bench, watch }) => {
    watch.expected = /422.*\/api\/engines$/; // the line that is wrong on purpose
    await page.goto(`${bench.address}/?view=flat`);
    const cards = page.locator("main li button");
    await expect(cards.first()).toBeVisible();
    expect(await cards.count()).toBeGreaterThan(7);
    await cards.filter({ hasText: /vee/i }).first().click();
    await expect(page.locator("main h2 a")).toHaveCount(1);
    expect(bench.files()).toHaveLength(1);

    await test.step("a second one from one line, and a wrong line is explained", async () => {
      await page.getByRole("button", { name: "New engine" }).click();
      const line = page.getByLabel("In one line");
      await line.fill("vee-6 sixty");
      await page.getByRole("button", { name: "Make it" }).click();
      await expect(page.getByRole("alert").filter({ hasText: /\S/ })).toBeVisible();
      await expect(line).toHaveValue("vee-6 sixty");
      await line.fill("inline-4 86x86");
      await page.getByRole("button", { name: "Make it" }).click();
      await expect(page.locator("main h2 a")).toHaveCount(2);
    });
  });
});

test.describe("a folder of which a part is shown", () => {
  test.use({ engines: [four, three, "vee-twin-90", "single", "inline-five"] });

  test("gives a new engine a column of its own", async ({ page, bench }) => {
    await page.goto(`${bench.address}/?view=flat`);
    const columns = page.locator("main h2 a");
    await expect(columns).toHaveCount(4);
    const names = await columns.allInnerTexts();
    await page.getByRole("button", { name: "New engine" }).click();
    // A four of cylinders would be among the first choice of this folder.
    await page.getByLabel("In one line").fill("inline-4 86x86");
    await page.getByRole("button", { name: "Make it" }).click();
    await expect(columns).toHaveText([...names, "Inline four"]);
  });
});
