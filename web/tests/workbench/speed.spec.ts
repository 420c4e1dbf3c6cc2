import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import type { Page } from "@playwright/test";
import { engine, expect, test } from "./bench.ts";
import { root } from "../machine.ts";

// Measures and prints; the figures go into docs/performance.md by hand. A test never fails for a time.

function tell(what: string, figure: string): void {
  console.log(`  ${what.padEnd(58)} ${figure}`);
}

test("first view after the server is up", async ({ bench, context }) => {
  const times: { paint: number; view: number }[] = [];
  for (let i = 0; i < 3; i++) {
    if (i > 0) {
      await bench.end();
      await bench.start();
    }
    const page = await context.newPage();
    await page.addInitScript(() => {
      const see = () => {
        // Names of all engines, and a drawing of each.
        const heads = document.querySelectorAll("main h2 a").length;
        const drawn = document.querySelectorAll("main .port canvas").length;
        if (heads >= 4 && drawn >= 4) requestAnimationFrame(() => performance.mark("seen"));
        else requestAnimationFrame(see);
      };
      see();
    });
    await page.goto(bench.address);
    await expect(page.locator("main h2 a")).toHaveCount(4);
    const time = await page.waitForFunction(() => {
      const seen = performance.getEntriesByName("seen")[0];
      const paint = performance.getEntriesByName("first-contentful-paint")[0];
      return seen && paint ? { paint: paint.startTime, view: seen.startTime } : null;
    });
    times.push((await time.jsonValue()) ?? { paint: NaN, view: NaN });
    await page.close();
  }
  tell("first paint, three starts", times.map((t) => `${Math.round(t.paint)} ms`).join(", "));
  tell(
    "names and drawings of four engines, three starts",
    times.map((t) => `${Math.round(t.view)} ms`).join(", "),
  );
});

test("size of the scripts", async ({ bench, page }) => {
  const html = await (await page.request.get(bench.address)).text();
  const initial = [...html.matchAll(/(?:src|href)="\/(assets\/[^"]+\.(?:js|css))"/g)].map(
    (m) => m[1] ?? "",
  );
  expect(initial.filter((f) => f.endsWith(".js"))).not.toHaveLength(0);
  const size = async (path: string) => {
    const response = await page.request.get(`${bench.address}/${path}`);
    expect(response.ok(), path).toBe(true);
    return gzipSync(await response.body(), { level: 9 }).length;
  };
  for (const f of initial)
    tell(`at first: ${f}`, `${((await size(f)) / 1000).toFixed(1)} kB gzipped`);
  const later = readdirSync(join(root, "web", "dist", "assets")).filter(
    (f) => f.endsWith(".js") && !initial.includes(`assets/${f}`),
  );
  for (const f of later) {
    const bytes = gzipSync(readFileSync(join(root, "web", "dist", "assets", f)), { level: 9 });
    tell(`later: ${f}`, `${(bytes.length / 1000).toFixed(1)} kB gzipped`);
  }
});

test("from an input to its numbers, vee eight", async ({ bench, page }) => {
  await page.goto(`${bench.address}${engine("vee-eight-90-cross")}?angle=0`); // at rest
  const slider = page.getByLabel("Stroke, slider");
  await expect(slider).toBeVisible();
  await expect(page.getByText("Largest force")).toBeVisible();
  const times: { all: number; server: number; frame: number }[] = [];
  for (let i = 0; i < 42; i++) {
    const one = await slider.evaluate(
      (e: HTMLInputElement, i) =>
        new Promise<{ all: number; server: number; frame: number }>((done) => {
          performance.clearMarks("cw:input");
          performance.clearMarks("cw:answer");
          performance.clearMarks("cw:numbers");
          const at = performance.now();
          e.value = String(Number(e.value) + Number(e.step) * (i % 2 ? -3 : 4));
          e.dispatchEvent(new Event("input", { bubbles: true }));
          const see = () => {
            const last = (name: string) => performance.getEntriesByName(name).at(-1)?.startTime;
            const numbers = last("cw:numbers");
            if (numbers === undefined) return void setTimeout(see, 1);
            requestAnimationFrame(() => {
              const frame = performance.now() - at;
              done({ all: numbers - at, server: (last("cw:answer") ?? NaN) - at, frame });
            });
          };
          see();
        }),
      i,
    );
    times.push(one);
  }
  const sound = times.slice(2); // the first ones warm up
  const part = (of: "all" | "server" | "frame", p: number) =>
    Math.round(
      sound.map((t) => t[of]).sort((a, b) => a - b)[Math.ceil(p * sound.length) - 1] ?? NaN,
    );
  for (const [of, words] of [
    ["server", "input → answer in the page"],
    ["all", "input → numbers in the page"],
    ["frame", "input → next frame after the numbers"],
  ] as const)
    tell(`${words}, median and 95th percentile of 40`, `${part(of, 0.5)} ms, ${part(of, 0.95)} ms`);
});

async function framesPerSecond(page: Page, seconds: number): Promise<number> {
  return page.evaluate(
    (span) =>
      new Promise<number>((done) => {
        let frames = 0;
        let from = 0;
        const next = (now: number) => {
          if (from === 0) from = now;
          else frames++;
          if (now - from < span * 1000) requestAnimationFrame(next);
          else done((1000 * frames) / (now - from));
        };
        requestAnimationFrame(next);
      }),
    seconds,
  );
}

test("frames a second in software", async ({ bench, page }) => {
  const four = ["inline-four-flat", "vee-eight-90-cross", "vee-six-60-split", "opposed-six"];
  for (const show of [four.slice(1, 2), four]) {
    await page.goto(`${bench.address}/?show=${show.join(",")}`);
    await expect(page.locator("main h2 a")).toHaveCount(show.length);
    await expect(page.getByRole("img", { name: /from the drive end$/ })).toHaveCount(0, {
      timeout: 20_000,
    });
    await expect(page.getByRole("button", { name: "Pause", exact: true })).toBeVisible();
    const rate = await framesPerSecond(page, 3);
    tell(
      `animation of ${show.length} ${show.length === 1 ? "engine" : "engines"}, 1440 × 900, software WebGL`,
      `${rate.toFixed(1)} frames/s`,
    );
  }
});

test("a brush drawn over a million candidates", async ({ bench, page }) => {
  test.setTimeout(300_000);
  writeFileSync(
    join(bench.folder, "cranks.study.yaml"),
    `name: A million cranks
base: inline-four-flat.engine.yaml
vary:
  layout.pins: {all: 3.6 deg, twins: apart}
minimise: [free_force_order_1, free_force_order_2, free_moment_order_1, free_moment_order_2]
maximise: [firing_evenness]
`,
  );
  await page.goto(`${bench.address}/search?angle=0`); // at rest
  await page.getByRole("button", { name: "Run", exact: true }).click();
  await expect(page.getByText(/^Nothing was left out/)).toBeVisible({ timeout: 240_000 });
  const strip = page.locator(".strip").nth(3);
  await expect(strip).toBeVisible({ timeout: 60_000 });
  await page.waitForFunction(() => performance.getEntriesByName("cw:cloud").length > 0);
  tell("candidates that are drawn", await page.locator("#axes-title + p").innerText());
  await strip.scrollIntoViewIfNeeded();
  const box = await strip.boundingBox();
  if (!box) throw new Error("there is no axis");
  const x = box.x + box.width / 2;
  await page.mouse.move(x, box.y + 120);
  await page.mouse.down();
  await page.mouse.move(x, box.y + 130);
  const counted = page.evaluate(
    () =>
      new Promise<{ frames: number[]; pictures: number }>((done) => {
        performance.clearMarks("cw:cloud");
        const frames: number[] = [];
        const begun = performance.now();
        let last = begun;
        const next = () => {
          const now = performance.now();
          frames.push(now - last);
          last = now;
          if (now - begun < 3000) requestAnimationFrame(next);
          else done({ frames, pictures: performance.getEntriesByName("cw:cloud").length });
        };
        requestAnimationFrame(next);
      }),
  );
  let over = false;
  void counted.finally(() => (over = true));
  for (let i = 0; !over; i++)
    await page.mouse.move(x, box.y + 140 + 60 * (1 + Math.sin(i / 9)), { steps: 1 });
  const { frames, pictures } = await counted;
  await page.mouse.up();
  const sorted = frames.slice(1).sort((a, b) => a - b);
  const part = (p: number) => (sorted[Math.ceil(p * sorted.length) - 1] ?? NaN).toFixed(1);
  tell("from frame to frame, median and 95th percentile", `${part(0.5)} ms, ${part(0.95)} ms`);
  tell("pictures of what is chosen in a second", (pictures / 3).toFixed(1));
});
