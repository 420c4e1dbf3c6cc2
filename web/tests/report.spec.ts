import { expect, test, type Page } from "@playwright/test";
import { createHash } from "node:crypto";
import { pathToFileURL } from "node:url";
import { violations } from "./axe.ts";
import { report, threeUnlike } from "./machine.ts";
import { fitsAcross, open } from "./open.ts";

// The report from disk without a network: open() holds it to one request and no complaint.

const live = (page: Page) => page.locator("#line-up-live");
const angle = (page: Page) => live(page).locator("output");
/** What the first drawing shows, in a few letters. */
const picture = async (page: Page) => {
  const canvas = live(page).locator("canvas").first();
  const url = await canvas.evaluate((c: HTMLCanvasElement) => c.toDataURL());
  return createHash("sha256").update(url).digest("hex");
};

/** Which colours the first drawing has. */
const inks = (page: Page) =>
  live(page)
    .locator("canvas")
    .first()
    .evaluate((c: HTMLCanvasElement) => {
      const { data } = c.getContext("2d")?.getImageData(0, 0, c.width, c.height) ?? { data: [] };
      let [dark, bright] = [0, 0];
      for (let i = 0; i < data.length; i += 4) {
        const at = (k: number) => `${data[i + k]}`;
        const colour = [at(0), at(1), at(2), at(3)].join();
        if (colour === "24,33,43,255") dark++;
        if (colour === "232,236,239,255") bright++;
      }
      return dark > bright ? "ink on white" : "white on ink";
    });

/** Opens the report where motion is welcome, or not, and shows the line-up. */
async function show(page: Page, reducedMotion: "reduce" | "no-preference"): Promise<void> {
  await page.emulateMedia({ reducedMotion });
  await page.context().setOffline(true);
  await open(page, report);
  await live(page).scrollIntoViewIfNeeded();
  await expect(live(page).locator("canvas")).toHaveCount(threeUnlike.length);
}

test("the line-up moves, and stops on demand", async ({ page }) => {
  await show(page, "no-preference");
  await expect(page.locator(".stills")).toBeHidden();
  const first = await picture(page);
  const at = await angle(page).textContent();
  await expect.poll(() => picture(page)).not.toBe(first);
  await expect(angle(page)).not.toHaveText(at ?? "");

  await live(page).getByRole("button", { name: "Pause" }).click();
  await expect(live(page).getByRole("button", { name: "Play" })).toBeVisible();
  const stopped = await picture(page);
  await page.waitForTimeout(300);
  expect(await picture(page)).toBe(stopped);

  await live(page).getByRole("button", { name: "Play" }).click();
  await expect.poll(() => picture(page)).not.toBe(stopped);
  await page.emulateMedia({ reducedMotion: "reduce" }); // a wish that comes later counts too
  await expect(live(page).getByRole("button", { name: "Play" })).toBeVisible();
});

test("it stands still for readers who ask for less motion, and turns by hand", async ({ page }) => {
  await show(page, "reduce");
  await expect(live(page).getByRole("button", { name: "Play" })).toBeVisible();
  await expect(angle(page)).toHaveText("30°");
  const still = await picture(page);
  await page.waitForTimeout(300);
  expect(await picture(page)).toBe(still);

  const crank = live(page).getByRole("slider", { name: "Crank angle" });
  await crank.focus();
  await page.keyboard.press("ArrowRight");
  await expect(angle(page)).toHaveText("31°");
  expect(await picture(page)).not.toBe(still);
  await page.keyboard.press("Home");
  await expect(angle(page)).toHaveText("0°");
  await page.keyboard.press("Shift+Tab");
  await expect(live(page).getByRole("button")).toBeFocused();
  await page.keyboard.press("Space");
  await expect(angle(page)).not.toHaveText("0°");
  await page.keyboard.press("Space");
  await expect(live(page).getByRole("button", { name: "Play" })).toBeFocused();
});

test("the drawings take the colours that the reader chooses", async ({ page }) => {
  await show(page, "reduce");
  const paper = () =>
    live(page)
      .locator("select")
      .evaluate((e) => getComputedStyle(e).backgroundColor);
  const choose = async (look: string) => {
    await page.getByLabel(look, { exact: true }).check();
    await live(page).locator("canvas").first().scrollIntoViewIfNeeded(); // what is out of sight waits
  };
  await choose("light");
  expect(await paper()).toBe("rgb(255, 255, 255)");
  await expect.poll(() => inks(page)).toBe("ink on white");
  await choose("dark");
  expect(await paper()).toBe("rgb(18, 24, 31)");
  await expect.poll(() => inks(page)).toBe("white on ink");
});

test("axe finds nothing, verdict and every appendix are there and reachable", async ({ page }) => {
  test.setTimeout(120_000); // some thousand cells
  await show(page, "reduce");
  await fitsAcross(page);
  for (const name of [
    "The brief",
    "Verdict",
    "How firm the choice is",
    "How points are given",
    "Each engine in words",
    "Estimates",
    "Evidence",
    "Sources",
    "Inputs",
    "Versions",
    "Cautions",
  ]) {
    const link = page.getByRole("navigation").getByRole("link", { name });
    await link.click();
    const target = page.locator((await link.getAttribute("href")) ?? "");
    await expect(target.getByRole("heading", { level: 2 })).toBeInViewport();
  }
  await page
    .locator("details")
    .evaluateAll((all) => all.forEach((d) => d.setAttribute("open", "")));
  await expect(page.locator("#inputs pre")).toHaveCount(threeUnlike.length + 1); // and the brief
  await expect(page.locator("#verdict li").first()).toContainText("points of 100");
  await expect(page.locator("#ruled-out").locator("..")).toContainText("Radial five");
  await expect(page.locator("#firmness figure")).toHaveCount(5);
  await expect(page.locator("#inputs-that-matter").locator("..")).toContainText("Share");
  await fitsAcross(page);
  // The sheets of the engines are those of the comparison, which has a test of its own.
  expect(await violations(page, ["svg > *", ".sheet"])).toEqual([]);
});

test("without scripts it stands still and says so; the player changes nothing else", async ({
  page,
  browser,
}) => {
  test.setTimeout(90_000); // two pages of a megabyte
  await show(page, "reduce");
  const { width, height } = page.viewportSize() ?? { width: 1440, height: 900 };
  const scheme = (await page.evaluate(() => matchMedia("(prefers-color-scheme: dark)").matches))
    ? "dark"
    : "light";
  const context = await browser.newContext({
    javaScriptEnabled: false,
    viewport: { width, height },
    colorScheme: scheme,
    reducedMotion: "reduce",
  });
  const plain = await context.newPage();
  await plain.goto(pathToFileURL(report).href);
  await expect(plain.locator(".stills svg")).toHaveCount(threeUnlike.length);
  await expect(plain.locator(".stills svg").first()).toBeVisible();
  await expect(plain.getByText("scripts are off")).toBeVisible();
  // Sizes say whether any rule of the player's reaches the page around it.
  const around =
    "h1, .look, .jump, #line-up > h2, #line-up > .hint:not(.paper, .scriptless), #comparison, #engine-1 .titleblock, #evidence > h2, footer";
  const sizes = async (on: Page) => {
    const boxes = await Promise.all((await on.locator(around).all()).map((l) => l.boundingBox()));
    return boxes.map((b) => b && [b.x, b.width, b.height]);
  };
  expect(await sizes(page)).toEqual(await sizes(plain));
  await context.close();
});

test("on paper the engines stand still and every file is there", async ({ page }) => {
  await show(page, "no-preference");
  await page.emulateMedia({ media: "print" });
  await expect(live(page)).toBeHidden();
  await expect(page.locator(".stills svg").first()).toBeVisible();
  await expect(page.locator("#inputs pre").first()).toBeVisible();
  await expect(page.locator("html")).toHaveCSS("background-color", "rgb(255, 255, 255)");
});
