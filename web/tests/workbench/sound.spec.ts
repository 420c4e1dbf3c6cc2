import type { Page } from "@playwright/test";
import { violations } from "../axe.ts";
import { fitsAcross } from "../open.ts";
import { engine, expect, test } from "./bench.ts";
import { take } from "./take.ts";

// What is heard is watched through the browser's own audio: which sources were started, at which rate, and
// whether the device runs.

const four = "inline-four-flat";
const six = "inline-six";
const vee = "vee-eight-90-cross";

test.use({ engines: [four, six, vee], contextOptions: { reducedMotion: "reduce" } });

interface Heard {
  state: string;
  /** Rates of the sources that play. */
  rates: number[];
  started: number;
  rate: number;
}

/** Keeps what the page makes of Web Audio. */
async function listen(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const kept = { contexts: [] as AudioContext[], sources: [] as AudioBufferSourceNode[] };
    const ended = new WeakSet<AudioBufferSourceNode>();
    const Plain = AudioContext;
    window.AudioContext = class extends Plain {
      constructor(options?: AudioContextOptions) {
        super(options);
        kept.contexts.push(this);
      }
      override createBufferSource(): AudioBufferSourceNode {
        const source = super.createBufferSource();
        kept.sources.push(source);
        source.addEventListener("ended", () => ended.add(source));
        return source;
      }
    };
    (window as unknown as { heard: () => Heard }).heard = () => ({
      state: kept.contexts.map((c) => c.state).join(),
      // To a hundredth: a loop is a little off the speed asked for, so that whole cycles fill it.
      rates: kept.sources
        .filter((s) => !ended.has(s))
        .map((s) => Math.round(100 * s.playbackRate.value) / 100),
      started: kept.sources.length,
      rate: kept.contexts[0]?.sampleRate ?? 0,
    });
  });
}
const heard = (page: Page): Promise<Heard> =>
  page.evaluate(() => (window as unknown as { heard: () => Heard }).heard());

/** Bodies of the requests to a path of the server. */
function requests(page: Page, path: string): Record<string, unknown>[] {
  const out: Record<string, unknown>[] = [];
  page.on("request", (r) => {
    if (new URL(r.url()).pathname === path) out.push(r.postDataJSON() as Record<string, unknown>);
  });
  return out;
}

test("an engine is heard, follows the sliders, and falls silent when nobody looks", async ({
  page,
  bench,
}) => {
  await listen(page);
  const loops = requests(page, "/api/sound/loop");
  await page.goto(`${bench.address}${engine(vee)}`);
  const section = page.locator("section#sound");
  await section.scrollIntoViewIfNeeded();
  await expect(section.getByText(/^Turn the volume down before the first playback/)).toBeVisible();
  const play = section.getByRole("button", { name: "Play the sound" });
  const stop = section.getByRole("button", { name: "Stop the sound" });
  await expect(section.getByText("At the ear orders 4, 8, 12 carry the sound.")).toBeVisible();
  await expect(play).toBeEnabled();
  expect(loops).toEqual([]);
  expect((await heard(page)).state).toBe("");

  await play.focus();
  await page.keyboard.press("Space");
  await expect(stop).toBeVisible();
  await expect
    .poll(() => heard(page))
    .toEqual({
      state: "running",
      rates: [1],
      started: 1,
      rate: 48000,
    });
  expect(loops[0]).toMatchObject({ speed_rpm: 6500, load_percent: 100, stereo: false, off: [] });

  // A speed is heard at once on the loop that plays; its own loop takes over.
  await section.getByLabel("Speed", { exact: true }).fill("6000");
  await expect.poll(async () => (await heard(page)).started).toBe(2);
  await expect.poll(async () => (await heard(page)).rates.length).toBe(1);
  expect(loops.at(-1)).toMatchObject({ speed_rpm: 6000 });
  expect((await heard(page)).rates).toEqual([1]);

  // A cylinder that does not fire brings back the half orders.
  const rows = section.getByRole("group", { name: "Level by order" });
  await expect(rows).toContainText(/^0\.5th[^:]*together at the ear:\s*–/);
  await section.getByRole("button", { name: "3", exact: true }).click();
  await expect(section.getByText(/Cylinder 3 does not fire/)).toBeVisible();
  await expect(rows).toContainText(/^0\.5th[^:]*together at the ear:\s*−\d/);
  await expect.poll(() => loops.at(-1)?.["off"]).toEqual(["3"]);
  await section.getByLabel("Exhaust groups left and right").check();
  await expect.poll(() => loops.at(-1)?.["stereo"]).toBe(true);

  const wav = await take(page, () => section.getByRole("button", { name: "WAV" }).click());
  expect(wav.name).toMatch(/^vee-eight-90-cross-plane-6000-rpm\.wav$/);
  expect(wav.bytes.subarray(0, 4).toString("latin1")).toBe("RIFF");
  expect(wav.bytes.readUInt16LE(22), "channels").toBe(2);

  await page.evaluate(() => {
    Object.defineProperty(document, "hidden", { configurable: true, get: () => true });
    document.dispatchEvent(new Event("visibilitychange"));
  });
  await expect(play).toBeVisible();
  await expect.poll(() => heard(page)).toMatchObject({ state: "suspended", rates: [] });
});

test("a broken file and another page end the sound; the volume is remembered", async ({
  page,
  bench,
}) => {
  await listen(page);
  await page.goto(`${bench.address}${engine(four)}`);
  const section = page.locator("section#sound");
  await section.scrollIntoViewIfNeeded();
  const play = section.getByRole("button", { name: "Play the sound" });
  const stop = section.getByRole("button", { name: "Stop the sound" });
  await expect(section.getByLabel("Volume", { exact: true })).toHaveValue("30");
  await section.getByLabel("Volume", { exact: true }).fill("12");
  await play.click();
  await expect(stop).toBeVisible();
  const good = bench.read(four);
  bench.write(four, good.replace(/^bore: .*$/m, "bore: -1 mm"));
  await expect(play).toBeDisabled();
  await expect.poll(async () => (await heard(page)).rates).toEqual([]);
  bench.write(four, good);
  await expect(play).toBeEnabled();
  await play.click();
  await expect.poll(async () => (await heard(page)).rates.length).toBe(1);
  await page.getByRole("link", { name: "Line-up", exact: true }).click();
  await expect.poll(async () => (await heard(page)).rates).toEqual([]);
  await page.goto(`${bench.address}${engine(four)}`);
  await expect(section.getByLabel("Volume", { exact: true })).toHaveValue("12");
});

test("what the server refuses is said in words", async ({ page, bench, watch }) => {
  watch.expected = /422.*sound\/loop/;
  await page.route("**/api/sound/loop", (route) =>
    route.fulfill({
      status: 422,
      contentType: "application/problem+json",
      body: JSON.stringify({ title: "No", detail: "the speed is too low for a loop" }),
    }),
  );
  await page.goto(`${bench.address}${engine(four)}`);
  const section = page.locator("section#sound");
  await section.getByRole("button", { name: "Play the sound" }).click();
  await expect(section.getByText("the speed is too low for a loop")).toBeVisible();
  await expect(section.getByRole("button", { name: "Play the sound" })).toBeEnabled();
});

test("one engine of the line-up is heard at a time, at its speed", async ({ page, bench }) => {
  await listen(page);
  const loops = requests(page, "/api/sound/loop");
  await page.goto(`${bench.address}/?show=${four},${six},${vee}&view=flat`);
  const column = (name: string) => page.getByRole("group", { name: `Column of ${name}` });
  const flat = column("Inline four, flat-plane");
  const straight = column("Inline six");
  await flat.getByRole("button", { name: "Play the sound" }).click();
  const dialog = page.getByRole("dialog", { name: /^The sound of/ });
  await expect(dialog.getByText(/^Turn the volume down before/)).toBeVisible();
  expect(loops).toEqual([]);
  expect(await violations(page)).toEqual([]);
  await dialog.getByRole("button", { name: "Play the sound" }).click();
  await expect(dialog).toBeHidden();
  await expect(flat.getByRole("button", { name: "Stop the sound" })).toBeVisible();
  await expect.poll(async () => (await heard(page)).rates).toEqual([1]);

  await straight.getByRole("button", { name: "Play the sound" }).click();
  await expect(flat.getByRole("button", { name: "Play the sound" })).toBeVisible();
  await expect(straight.getByRole("button", { name: "Stop the sound" })).toBeVisible();
  await expect.poll(async () => (await heard(page)).rates).toEqual([1]);
  expect(loops.map((l) => [l["file"], l["speed_rpm"], l["load_percent"]])).toEqual([
    [`${four}.engine.yaml`, 5500, 100],
    [`${six}.engine.yaml`, 6000, 100],
  ]);

  await page.getByLabel("One speed for all").check();
  await expect.poll(() => loops.at(-1)?.["speed_rpm"]).toBe(6500);
  const bar = page.getByRole("group", { name: "Sound", exact: true });
  await expect(bar).toContainText("6500 rpm, full load");
  expect(await violations(page)).toEqual([]);
  await bar.getByRole("button", { name: "Stop Inline six" }).click();
  await expect(bar).toBeHidden();
  await expect.poll(async () => (await heard(page)).rates).toEqual([]);
});

test("the curves of the line-up show torque and crank speed", async ({ page, bench }) => {
  const asked = requests(page, "/api/torque");
  await page.goto(`${bench.address}/?show=${four},${vee}&view=flat`);
  const curves = page.getByRole("region", { name: "Curves over two turns" });
  await expect(curves.getByRole("img", { name: /^Free force of/ })).toHaveCount(2);
  expect(asked).toEqual([]);
  await curves.getByRole("tab", { name: "Total torque" }).click();
  await expect(curves.getByRole("img", { name: /^Total torque of/ })).toHaveCount(2);
  await expect(page).toHaveURL(/curve=total/);
  await expect(curves.getByText("At full load.")).toBeVisible();
  for (const [tab, unit] of [
    ["Gas torque", "N m"],
    ["Crank speed", "rpm"],
  ] as const) {
    await curves.getByRole("tab", { name: tab }).click();
    await expect(curves.getByRole("img", { name: new RegExp(`^${tab} of`) })).toHaveCount(2);
    await expect(curves.locator(".now").first()).toContainText(unit);
  }
  expect(asked.length, "kept from one quantity to the next").toBe(2);

  // The cursor reads the crank speed of the engine at this angle.
  const read = curves.locator(".now").first();
  const before = await read.innerText();
  expect(before).toMatch(/^5[45]\d\d\srpm$/);
  await curves.getByRole("tab", { name: "Crank speed" }).blur();
  await page.keyboard.press("Shift+ArrowRight");
  await expect(read).not.toHaveText(before);

  await page.getByLabel("One speed for all").check();
  await expect.poll(() => asked.length).toBe(4);
  expect(asked.at(-1)).toMatchObject({ speed_rpm: 6500 });
  const table = page.getByRole("table", { name: "Figures of the engines" });
  await expect(table.getByRole("rowheader", { name: "Torque", exact: true })).toBeVisible();
  await expect(table.getByRole("row", { name: /^Coefficient of fluctuation/ })).toContainText(
    "best",
  );
});

test("sound and torque fit a narrow window", async ({ page, bench }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await page.goto(`${bench.address}/?show=${four},${six},${vee}&view=flat&curve=total`);
  await page.getByRole("button", { name: "Play the sound" }).first().click();
  const dialog = page.getByRole("dialog");
  await dialog.getByRole("button", { name: "Play the sound" }).click();
  await expect(page.getByRole("group", { name: "Sound", exact: true })).toBeVisible();
  await fitsAcross(page);
  await page.goto(`${bench.address}${engine(vee)}`);
  await page.locator("section#sound").scrollIntoViewIfNeeded();
  await expect(page.getByRole("group", { name: "Level by order" })).toBeVisible();
  await fitsAcross(page);
  expect(await violations(page)).toEqual([]);
});
