import { spawn, type ChildProcess } from "node:child_process";
import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test, type Page } from "@playwright/test";

// A first look at every page of the workbench, served by the real binary on a copy of the examples.

let server: ChildProcess;
let address = "";
let folder = "";

test.beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "workbench-"));
  cpSync("../examples", folder, { recursive: true });
  server = spawn("../bin/crankwright", ["serve", folder, "--addr", "127.0.0.1:0"]);
  address = await new Promise<string>((resolve, reject) => {
    let said = "";
    const read = (data: Buffer) => {
      said += data.toString();
      const found = /http:\/\/127\.0\.0\.1:\d+\//.exec(said);
      if (found) resolve(found[0]);
    };
    server.stdout?.on("data", read);
    server.stderr?.on("data", read);
    server.on("exit", () => {
      reject(new Error(`the server ended: ${said}`));
    });
  });
});

test.afterAll(() => {
  server.removeAllListeners("exit");
  server.kill("SIGTERM");
  rmSync(folder, { recursive: true, force: true });
});

/** What went wrong: console errors, and requests to other machines. */
function watch(page: Page): string[] {
  const wrong: string[] = [];
  page.on("console", (m) => {
    if (m.type() === "error") wrong.push(m.text());
  });
  page.on("pageerror", (e) => wrong.push(String(e)));
  page.on("request", (r) => {
    const to = r.url();
    if (!to.startsWith(address) && !/^(data|blob):/.test(to)) wrong.push(`request to ${to}`);
  });
  return wrong;
}

const places = [
  { path: "", shows: "Free force, order 2" },
  { path: "engine/vee-eight-90-cross.engine.yaml", shows: "Shaking force" },
  { path: "evidence", shows: "BEV" },
];

for (const width of [1440, 390]) {
  for (const place of places) {
    test(`${width} px: /${place.path} shows itself without a click`, async ({ page }) => {
      await page.emulateMedia({ reducedMotion: "reduce" });
      await page.setViewportSize({ width, height: 900 });
      const wrong = watch(page);
      await page.goto(address + place.path);
      await expect(page.getByText(place.shows).first()).toBeAttached({ timeout: 30_000 });
      const over = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(over, "the page is wider than the window").toBeLessThanOrEqual(0);
      expect(wrong).toEqual([]);
    });
  }
}
