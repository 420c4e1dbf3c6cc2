import { engine, expect, test } from "./bench.ts";

const four = "inline-four-flat";

test.use({ engines: [four, "inline-three"] });

test("the server goes and comes back", async ({ page, bench, watch }) => {
  watch.expected =
    /ERR_(CONNECTION_REFUSED|INCOMPLETE_CHUNKED_ENCODING|CONNECTION_RESET|EMPTY_RESPONSE|SOCKET_NOT_CONNECTED)/;
  const banner = page.getByText("The server does not answer.");
  await page.goto(`${bench.address}/?view=flat`);
  await expect(page.getByRole("table", { name: "Figures of the engines" })).toBeVisible();

  await bench.end();
  await expect(banner).toBeVisible();
  const angle = () => page.getByLabel("Crank angle in degrees").inputValue();
  const before = await angle();
  await expect.poll(angle).not.toBe(before); // what is shown goes on
  await expect(page.locator("main h2 a")).toHaveCount(2);

  // What happened meanwhile shows when it is back.
  bench.change("inline-three", "name: ", "name: Changed while away, ");
  await bench.start();
  await expect(banner).toBeHidden({ timeout: 15_000 });
  await expect(page.getByRole("link", { name: /Changed while away/ })).toBeVisible();
});

test("an edit waits until the server is back", async ({ page, bench, watch }) => {
  watch.expected =
    /ERR_(CONNECTION_REFUSED|INCOMPLETE_CHUNKED_ENCODING|CONNECTION_RESET|EMPTY_RESPONSE|SOCKET_NOT_CONNECTED)/;
  await page.goto(bench.address + engine(four));
  const stroke = page.getByLabel("Stroke", { exact: true });
  await expect(stroke).toBeVisible();
  await bench.end();
  await expect(page.getByText("The server does not answer.")).toBeVisible();
  await stroke.fill("77 mm");
  await stroke.press("Enter");
  await expect(page.getByText(/kept here and saved when the server is back/)).toBeVisible();
  await expect(stroke).toHaveValue("77 mm");
  await bench.start();
  await expect.poll(() => bench.read(four), { timeout: 15_000 }).toContain("stroke: 77 mm");
});

test("an edit waits on another page too, and the figures of the line-up follow", async ({
  page,
  bench,
  watch,
}) => {
  watch.expected =
    /ERR_(CONNECTION_REFUSED|INCOMPLETE_CHUNKED_ENCODING|CONNECTION_RESET|EMPTY_RESPONSE|SOCKET_NOT_CONNECTED)/;
  await page.goto(`${bench.address}${engine(four)}?view=flat`);
  const stroke = page.getByLabel("Stroke", { exact: true });
  await expect(stroke).toBeVisible();
  await bench.end();
  await expect(page.getByText("The server does not answer.")).toBeVisible();
  await stroke.fill("77 mm");
  await stroke.press("Enter");
  await expect(page.getByText(/kept here and saved when the server is back/)).toBeVisible();
  const bore = page.getByLabel("Bore", { exact: true });
  await bore.fill("99 mm");
  await bore.press("Escape");
  await page.getByRole("link", { name: "← Line-up" }).click();
  await expect(page.getByText("The figures are not there")).toBeVisible();
  await bench.start();
  await expect.poll(() => bench.read(four), { timeout: 15_000 }).toContain("stroke: 77 mm");
  expect(bench.read(four)).not.toContain("99 mm");
  await expect(page.getByText("The figures are not there")).toBeHidden();
  const figures = page.getByRole("table", { name: "Figures of the engines" });
  await expect(figures).toBeVisible();

  await bench.end();
  await expect(page.getByText("The server does not answer.")).toBeVisible();
  const before = await figures.innerText();
  await page.getByLabel("One speed for all").check();
  await page.getByRole("slider", { name: "Crank speed", exact: true }).press("Home");
  await expect(page.getByText("The figures below are of an earlier state")).toBeVisible();
  await bench.start();
  await expect(page.getByText("The figures below are of an earlier state")).toBeHidden({
    timeout: 15_000,
  });
  await expect.poll(() => figures.innerText()).not.toBe(before);
});

test("a save whose answer is lost is no conflict with itself", async ({ page, bench, watch }) => {
  watch.expected = /ERR_|409|412/;
  await page.goto(bench.address + engine(four));
  const stroke = page.getByLabel("Stroke", { exact: true });
  await expect(stroke).toBeVisible();
  let lost = 0;
  await page.route(`**/api/engines/${four}*`, async (route) => {
    if (route.request().method() === "GET" || lost > 0) return route.continue();
    lost++;
    await route.fetch(); // the server writes the file
    await bench.end();
    await route.abort();
  });
  await stroke.fill("78 mm");
  await stroke.press("Enter");
  await expect(page.getByText(/kept here and saved when the server is back/)).toBeVisible();
  expect(lost).toBe(1);
  expect(bench.read(four)).toContain("stroke: 78 mm");
  await bench.start();
  await expect(page.getByText(/kept here and saved when the server is back/)).toBeHidden({
    timeout: 15_000,
  });
  await expect(page.getByText("saved", { exact: true })).toBeVisible();
  await expect(page.getByRole("alertdialog")).toBeHidden();
  await expect(stroke).toHaveValue("78 mm");
});

test("the server ends on Ctrl-C in the middle of following", async ({ page, bench, watch }) => {
  watch.expected = /ERR_/;
  await page.goto(`${bench.address}/?view=flat`);
  await expect(page.getByRole("table", { name: "Figures of the engines" })).toBeVisible();
  expect(await bench.end("SIGINT")).toBe(0);
});
