import { expect, type Page } from "@playwright/test";
import { pathToFileURL } from "node:url";

/** Opens a page from disk and holds it to what every page must keep. */
export async function open(page: Page, file: string): Promise<void> {
  const url = pathToFileURL(file).href;
  const complaints: string[] = [];
  const requests: string[] = [];
  page.on("console", (m) => {
    if (m.type() === "error" || m.type() === "warning") complaints.push(m.text());
  });
  page.on("pageerror", (e) => complaints.push(e.message));
  page.on("request", (r) => requests.push(r.url()));
  await page.goto(url, { waitUntil: "load" });
  expect(complaints, "complaints of the browser").toEqual([]);
  expect(requests, "requests other than the file").toEqual([url]);
  await fitsAcross(page);
}

/** The page itself never scrolls sideways. */
export async function fitsAcross(page: Page): Promise<void> {
  await expect
    .poll(() => page.evaluate(() => document.documentElement.scrollWidth - innerWidth), {
      message: "pixels beyond the window",
    })
    .toBeLessThanOrEqual(0); // a view in three dimensions follows the window a moment later
}
