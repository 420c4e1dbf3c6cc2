import type { Page } from "@playwright/test";
import { mkdirSync } from "node:fs";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { engine, expect, frames, ready, test } from "./bench.ts";

// Every page in every window. Readers who want less motion get the same pages at rest.
test.use({ contextOptions: { reducedMotion: "reduce" } });

const widths = [
  { width: 1440, height: 900 },
  { width: 390, height: 844 },
];
const themes = ["light", "dark"] as const;

// The picture of what a test looked at goes here, to be looked at by a person.
const shots = process.env["SCREENSHOTS"];
if (shots) mkdirSync(shots, { recursive: true });

function wide(page: Page): boolean {
  return (page.viewportSize()?.width ?? 0) > 1000;
}

async function keep(page: Page, name: string, theme: string): Promise<void> {
  const width = page.viewportSize()?.width ?? 0;
  if (shots)
    await page.screenshot({ path: `${shots}/${name}-${width}-${theme}.png`, fullPage: true });
}

/** What every page must keep, in both themes; contrast does not change with the width. */
async function holds(page: Page, name: string): Promise<void> {
  for (const colorScheme of wide(page) || shots ? themes : themes.slice(0, 1)) {
    await page.emulateMedia({ colorScheme });
    await expect(page.locator("html")).toHaveAttribute("data-theme", colorScheme);
    await fitsAcross(page);
    await keep(page, name, colorScheme);
    expect.soft(await violations(page), `${name}, ${colorScheme}`).toEqual([]);
  }
}

const many =
  "/?show=inline-four-flat,inline-six,vee-eight-90-cross,radial-five,offset-pair,opposed-four-own-pins" +
  "&base=inline-six&view=section&arrows=resultant,couple,parts,pistons,weights,shafts&shake=on&speed=3000";

for (const { width, height } of widths) {
  test.describe(`${width} px`, () => {
    test.use({ viewport: { width, height } });

    for (const [name, path] of [
      ["line-up", "/"],
      ["six", many],
      ["flat", "/?view=flat&base=inline-six"],
      ["engine", engine("vee-eight-90-cross")],
      ["linked rods", engine("radial-five")],
      ["evidence", "/evidence?kind=published"],
      ["nothing", "/no/such/page"],
      ["no engine", engine("no-such")],
    ] as const) {
      test(name, async ({ page, gallery, watch }) => {
        if (name === "no engine") watch.expected = /404/; // the browser itself notes it
        await ready(page, gallery.address + path);
        await holds(page, name);
      });
    }

    for (const [awaited, address] of [
      ["answers", "**/api/**"],
      ["themselves", /\/assets\/\w+Page-/],
    ] as const)
      test(`pages have their heading while they wait for ${awaited}`, async ({ page, gallery }) => {
        test.slow(); // five pages
        let held = Promise.resolve();
        await page.route(address, async (route) => {
          await held;
          await route.continue();
        });
        for (const [path, early] of [
          ["/?view=flat", "Line-up"],
          [engine("vee-eight-90-cross"), /vee.eight/i],
          ["/choice", "Choice"],
          ["/search", "Search"],
          ["/evidence", "Evidence"],
        ] as const) {
          let go = () => {};
          held = new Promise<void>((done) => (go = done));
          await page.goto(gallery.address + path, { waitUntil: "commit" }); // it is loaded later
          const heading = page.getByRole("heading", { level: 1 });
          await expect(heading).toBeVisible();
          const text = await heading.innerText();
          if (awaited === "answers") {
            expect(text).toMatch(early);
            await expect(page.locator(".skeleton").first()).toBeVisible();
          }
          expect.soft(await violations(page), path).toEqual([]);
          const before = await heading.boundingBox();
          go();
          await expect(page.locator(".skeleton")).toHaveCount(0);
          if (/begin/i.test(await heading.innerText())) continue; // the folder has none
          const after = await heading.boundingBox();
          expect.soft(after?.x, path).toBeCloseTo(before?.x ?? 0, 0);
          expect
            .soft(Math.abs((after?.y ?? 0) - (before?.y ?? 0)), `height of ${path}`)
            .toBeLessThan(4);
        }
      });

    test.describe(() => {
      test.use({ engines: [] });
      test("empty folder", async ({ page, bench }) => {
        await ready(page, bench.address);
        await expect(page.locator("main li button").first()).toBeVisible();
        await holds(page, "empty");
      });
    });

    test("what opens over the line-up", async ({ page, gallery }) => {
      await ready(page, `${gallery.address}/?show=inline-three,vee-twin-90`);
      for (const [key, title] of [
        ["?", "Keys"],
        ["a", "Engines side by side"],
        ["n", "New engine"],
        ["s", "Take away"],
      ] as const) {
        const dialog = page.getByRole("dialog", { name: title });
        await expect(async () => {
          await page.keyboard.press(key); // a key in the moment in which a dialog closes is not heard
          await expect(dialog).toBeVisible({ timeout: 3000 });
        }).toPass();
        await expect(dialog.locator(".skeleton")).toHaveCount(0);
        await fitsAcross(page);
        await keep(page, title, "light");
        expect.soft(await violations(page), title).toEqual([]);
        await page.keyboard.press("Escape");
        await expect(dialog).toBeHidden();
      }
    });
  });
}

test("nothing moves for readers who ask for less motion", async ({ page, gallery }) => {
  await ready(page, gallery.address);
  await expect(page.getByRole("button", { name: "Play", exact: true })).toBeVisible();
  await expect(page.getByLabel("Crank angle in degrees")).toHaveValue("0.0");
  expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
  const canvas = page.locator("main canvas[data-keys]").first();
  // Drawn finely once it rests; then it rests.
  let before = await canvas.screenshot();
  await expect
    .poll(async () => {
      const last = before;
      before = await canvas.screenshot();
      return before.equals(last);
    })
    .toBe(true);
  await frames(page, 10);
  expect((await canvas.screenshot()).equals(before)).toBe(true);
});

test("the list of keys tells what the keys do", async ({ page, gallery }) => {
  await ready(page, `${gallery.address}/?show=inline-three,vee-twin-90`);
  await page.keyboard.press("?");
  const list = page.getByRole("dialog", { name: "Keys" });
  await expect(list).toContainText("play or pause");
  expect(await list.locator("kbd").count()).toBeGreaterThan(20);
  await page.keyboard.press("Escape");
  await expect(list).toBeHidden();
  await page.keyboard.press("2");
  await expect(page).toHaveURL(/view=drive-end/);
  await page.keyboard.press("b");
  await expect(page).toHaveURL(/base=inline-three/);
  await page.keyboard.press("e");
  await expect(page.getByRole("heading", { level: 1, name: "Evidence" })).toBeVisible();
  await page.keyboard.press("g");
  await expect(page.locator("main h2 a")).toHaveCount(2);
  // Who speaks to the machine turns them off; the list is then reached by its button.
  await expect(page.getByRole("button", { name: "Choose engines" })).toBeVisible();
  await page.getByRole("button", { name: "Keys (?)" }).click();
  await list.getByRole("checkbox", { name: /single letter/ }).uncheck();
  await page.keyboard.press("Escape");
  await page.reload();
  await expect(page.locator("main h2 a")).toHaveCount(2);
  await page.keyboard.press("e");
  await page.keyboard.press("?");
  await expect(list).toBeHidden();
  await expect(page.locator("main h2 a")).toHaveCount(2);
});

test("Tab goes everywhere, and one sees where it is", async ({ page, gallery }) => {
  for (const path of ["/?show=inline-three,vee-twin-90", engine("vee-eight-90-cross")]) {
    await ready(page, gallery.address + path);
    await page.keyboard.press("Tab");
    await expect(page.locator(".skip")).toBeFocused();
    await expect(page.locator(".skip")).toBeInViewport();
    const unseen: string[] = [];
    const met = new Set<string>();
    for (let i = 0; i < 70; i++) {
      await page.keyboard.press("Tab");
      const now = await page.evaluate(() => {
        const e = document.activeElement;
        if (!e || e === document.body) return null;
        // A hidden radio or checkbox shows its focus on its label.
        const places = [e, e.closest("label"), e.parentElement, ...e.children].filter(
          (x): x is Element => x !== null,
        );
        const seen = places.some((x) => {
          const s = getComputedStyle(x);
          return (
            (s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 1) || s.boxShadow !== "none"
          );
        });
        const strokes =
          e.matches("g") && getComputedStyle(e.children[1] ?? e).strokeWidth !== "1px";
        const label =
          e instanceof HTMLInputElement ? e.labels?.[0]?.textContent?.trim() : undefined;
        const name = e.getAttribute("aria-label") ?? label ?? e.textContent?.trim() ?? "";
        return { name: `${e.tagName} ${e.id} ${name.slice(0, 60)}`, seen: seen || strokes };
      });
      if (!now) continue;
      met.add(now.name);
      if (!now.seen) unseen.push(now.name);
    }
    expect(unseen, path).toEqual([]);
    expect(met.size, path).toBeGreaterThan(40);
  }
});

test("a link is the view", async ({ page, gallery }) => {
  const view =
    many.replace("view=section", "view=top") + "&angle=123&theme=dark&order=1,2&linked=off";
  await ready(page, gallery.address + view);
  await expect(page.locator("main h2 a")).toHaveCount(6);
  await expect(page.locator("html")).toHaveAttribute("data-theme", "dark");
  await expect(page.getByLabel("Crank angle in degrees")).toHaveValue("123.0");
  await expect(page.getByRole("button", { name: "Play", exact: true })).toBeVisible();
  await expect(page.getByRole("radio", { name: "Top" })).toBeChecked();
  await expect(page.getByRole("checkbox", { name: "Turn all together" })).not.toBeChecked();
  await expect(page.getByRole("checkbox", { name: "Balance shafts" })).toBeChecked();
  await expect(page.getByRole("checkbox", { name: "2", exact: true })).toBeChecked();
  await expect(page.getByRole("checkbox", { name: "One speed for all" })).toBeChecked();
  await expect(page.getByRole("button", { name: "Is the baseline" })).toHaveCount(1);

  await test.step("back and forward go through the views", async () => {
    await page.getByRole("radio", { name: "Side" }).check();
    await expect(page).toHaveURL(/view=side/);
    await page.goBack();
    await expect(page.getByRole("radio", { name: "Top" })).toBeChecked();
    await page.goForward();
    await expect(page.getByRole("radio", { name: "Side" })).toBeChecked();
  });
});
