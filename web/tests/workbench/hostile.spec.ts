import type { Page } from "@playwright/test";
import { cpSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium, root } from "../machine.ts";
import { engine, expect, frames, test } from "./bench.ts";

// A folder from a stranger: every name, label and comment of its engine, brief, study, price table and weighed
// parts is script, markup and a formula at once. On every page they stay text. The policy of the page would stop
// a script; here it must not even come so far: no element is made of a name, and nothing is refused.
const hostile = join(root, "server", "testdata", "hostile");
const four = "inline-four-flat";

// Without three dimensions, where a name is only painted.
test.use({
  engines: [four],
  contextOptions: { reducedMotion: "reduce" },
  launchOptions: {
    executablePath: chromium(),
    args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-3d-apis"],
  },
});
test.beforeEach(({ bench }) => {
  for (const f of readdirSync(hostile).filter((f) => f.endsWith(".yaml")))
    cpSync(join(hostile, f), join(bench.folder, f));
});

/** Nothing on the page was made of a name, and nothing of a name ran. */
async function harmless(page: Page, where: string): Promise<void> {
  await frames(page, 5);
  const found = await page.evaluate(() => ({
    ran: "cw" in window,
    made: document.querySelectorAll("[data-cw], img[src=x]").length,
    scripts: [...document.scripts].filter((s) => s.text.trim().startsWith("top.cw")).length,
    leads: [...document.querySelectorAll("[href]")].filter((a) =>
      /^\s*(javascript|data):/i.test(a.getAttribute("href") ?? ""),
    ).length,
    handlers: [...document.querySelectorAll("*")].filter((e) =>
      e.getAttributeNames().some((n) => n.startsWith("on")),
    ).length,
    computed: document.body.innerText.includes("</svg>49"),
  }));
  expect(found, where).toEqual({
    ran: false,
    made: 0,
    scripts: 0,
    leads: 0,
    handlers: 0,
    computed: false,
  });
}

/** The name stands on the page as it is. */
async function told(page: Page, name: string): Promise<void> {
  await expect
    .poll(() => page.evaluate(() => document.body.innerText + document.title))
    .toContain(`${name}'"><img src=x data-cw onerror=top.cw=1><script>top.cw=1</script>`);
}

test("names of an engine are text on its page, with every tool", async ({ page, bench, watch }) => {
  test.setTimeout(180_000);
  watch.expected = /422/; // a tool may say that this engine is none for it
  await page.goto(`${bench.address}${engine("hostile")}?view=flat`);
  await told(page, "=engine");
  await harmless(page, "engine");
  const tabs = page.getByRole("tab");
  const count = await tabs.count();
  expect(count).toBeGreaterThan(10);
  for (let i = 0; i < count; i++) {
    const tab = tabs.nth(i);
    await tab.scrollIntoViewIfNeeded();
    await tab.click();
    const panel = page.locator(`[id="${(await tab.getAttribute("aria-controls")) ?? ""}"]`);
    await expect(panel.locator(".skeleton")).toHaveCount(0);
    await harmless(page, `tool ${await tab.innerText()}`);
  }
  for (const summary of await page.locator("summary").all()) {
    if (await summary.isVisible()) await summary.click();
  }
  await harmless(page, "all that folds");
  for (const name of ["-C1", "@T0", "@mount a", "+helm"]) {
    expect.soft(await page.content(), name).toContain(name);
  }
});

test("weighed parts and prices are text", async ({ page, bench, watch }) => {
  watch.expected = /422/;
  await page.goto(`${bench.address}${engine("hostile")}?view=flat`);
  const weighed = readFileSync(join(hostile, "hostile-weighed.csv"), "utf8");
  const tab = page.getByRole("tab", { name: /match/i });
  await tab.scrollIntoViewIfNeeded();
  await tab.click();
  const panel = page.getByRole("tabpanel", { name: /match/i });
  await panel.locator("textarea").fill(weighed);
  await expect(panel).toContainText("=P0'\"><img src=x data-cw");
  await harmless(page, "matching");

  await page.goto(`${bench.address}${engine("hostile")}?parts=cost`);
  const cost = page.locator("#parts").getByRole("tabpanel", { name: "Cost", exact: true });
  await cost.scrollIntoViewIfNeeded();
  await cost.getByText("Price table", { exact: true }).click();
  await cost
    .getByLabel("Price table")
    .fill(readFileSync(join(hostile, "hostile.prices.yaml"), "utf8"));
  await cost.getByRole("button", { name: "Use these prices" }).click();
  await expect(cost).toContainText("=prices'\"><img src=x data-cw");
  await harmless(page, "cost");
});

test("names are text in the line-up, in the choice and in the search", async ({ page, bench }) => {
  await page.goto(`${bench.address}/?view=flat`);
  await told(page, "=engine");
  await harmless(page, "line-up");

  await page.goto(`${bench.address}/choice?brief=hostile`);
  await told(page, "=brief");
  await told(page, "=engine");
  await harmless(page, "choice");

  await page.goto(`${bench.address}/search?study=hostile`);
  await expect(page.getByRole("textbox", { name: /^Text of/ })).toHaveValue(/=comment/);
  await page.getByRole("button", { name: /^(Run|Go on)$/ }).click();
  await expect(page.getByText(/^Nothing was left out/)).toBeVisible({ timeout: 60_000 });
  await told(page, "=study");
  await harmless(page, "search");
});

test("the address and the names of snapshots are text", async ({ page, bench, watch }) => {
  watch.expected = /40[49]|422/;
  const bad = `<img src=x data-cw onerror=top.cw=1>`;
  for (const path of [
    `/engine/${encodeURIComponent(bad)}.engine.yaml`,
    `/${encodeURIComponent(bad)}`,
    `/?show=${encodeURIComponent(bad)}&base=${encodeURIComponent(bad)}&view=${encodeURIComponent(bad)}`,
    `/choice?brief=${encodeURIComponent(bad)}`,
    `/search?study=${encodeURIComponent(bad)}`,
    `/evidence?kind=${encodeURIComponent(bad)}#${encodeURIComponent(bad)}`,
    `/#javascript:top.cw=1`,
  ]) {
    await page.goto(bench.address + path);
    await harmless(page, path);
  }
  const made = await page.request.post(`${bench.address}/api/snapshots`, { data: { name: bad } });
  expect(made.status()).toBe(201);
  await page.goto(`${bench.address}/?view=flat`);
  await page.getByRole("button", { name: "Snapshots" }).first().click();
  await expect(page.getByText(bad).first()).toBeVisible();
  await harmless(page, "snapshots");
});

test("a report that is opened from the disk runs nothing of a name", async ({ page, bench }) => {
  for (const query of ["files=hostile.engine.yaml", "brief=hostile.brief.yaml"]) {
    const answer = await page.request.get(`${bench.address}/api/report?format=html&${query}`);
    expect(answer.status()).toBe(200);
    const path = join(bench.folder, "report.html");
    writeFileSync(path, await answer.body());
    await page.goto(pathToFileURL(path).href);
    await told(page, "=engine");
    await harmless(page, query);
  }
});

test("figures that are opened on their own are drawings and nothing else", async ({
  page,
  bench,
}) => {
  const list = await page.request.get(`${bench.address}/api/figures`);
  const names = ((await list.json()) as { name: string }[]).map((f) => f.name);
  expect(names.length).toBeGreaterThan(10);
  let told = 0;
  for (const name of names) {
    const answer = await page.request.get(
      `${bench.address}/api/figures/${name}?file=hostile.engine.yaml`,
    );
    expect(answer.status(), name).toBe(200);
    const path = join(bench.folder, "figure.svg");
    writeFileSync(path, await answer.body());
    await page.goto(pathToFileURL(path).href);
    const found = await page.evaluate(() => ({
      ran: "cw" in window,
      root: document.documentElement.localName,
      made: document.querySelectorAll("script, img, image, foreignObject, a, use, [data-cw]")
        .length,
      text: document.documentElement.textContent,
    }));
    expect({ ...found, text: "" }, name).toEqual({ ran: false, root: "svg", made: 0, text: "" });
    if (found.text.includes("<script>top.cw=1</script>")) told++;
  }
  expect(told, "figures that show a name").toBeGreaterThan(3);
});
