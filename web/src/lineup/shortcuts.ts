import type { Geometry } from "../api/types";
import { overCycle } from "../state/angles";
import { clock } from "../state/clock.svelte";
import type { Command } from "../state/keys.svelte";
import { paces, views } from "../state/params";
import { url } from "../state/url.svelte";

interface Page {
  /** Crank angles of all firings shown [deg]. */
  firings: () => number[];
  /** Cylinder 1 of the first engine. */
  first: () => Geometry["cylinders"][number] | undefined;
  open: (which: "pick" | "gallery" | "take") => void;
  nextBaseline: () => void;
}

function pace(by: 1 | -1) {
  const at = paces.findIndex((p) => p >= url.values.pace);
  const to = paces[(at < 0 ? paces.length - 1 : at) + by];
  if (to !== undefined) url.set({ pace: to }, "move");
}

/** What the keys do on the line-up. */
export function shortcuts(page: Page): Command[] {
  const crank = (keys: string[], does: string, run: () => void): Command => ({
    keys,
    does,
    group: "Crank",
    run,
  });
  const view = (keys: string[], does: string, run: () => void): Command => ({
    keys,
    does,
    group: "View",
    run,
  });
  const list = (keys: string[], does: string, run: () => void): Command => ({
    keys,
    does,
    group: "Line-up",
    run,
  });
  return [
    crank(["Space", "k"], "play or pause", () => clock.toggle()),
    crank(["ArrowRight"], "one degree on", () => clock.step(1)),
    crank(["ArrowLeft"], "one degree back", () => clock.step(-1)),
    crank(["Shift+ArrowRight"], "fifteen degrees on", () => clock.step(15)),
    crank(["Shift+ArrowLeft"], "fifteen degrees back", () => clock.step(-15)),
    crank(["l"], "to the next firing", () => clock.jump(page.firings(), 1)),
    crank(["j"], "to the firing before", () => clock.jump(page.firings(), -1)),
    crank(["t"], "to the next top dead centre of cylinder 1 of the first engine", () => {
      const c = page.first();
      if (c) clock.jump(overCycle(c.tdc_deg), 1);
    }),
    crank(["0"], "to crank angle 0", () => clock.jump([0], 1)),
    crank([","], "slower", () => pace(1)),
    crank(["."], "faster", () => pace(-1)),
    ...views.map((v, i) =>
      view([String(i + 1)], `view: ${v.replace("-", " ")}`, () => url.set({ view: v })),
    ),
    view(["p"], "path of the resultant’s tip", () => url.set({ trace: !url.values.trace })),
    view(["v"], "vibration of the block", () => url.set({ shake: !url.values.shake })),
    list(["a"], "choose engines", () => page.open("pick")),
    list(["n"], "new engine", () => page.open("gallery")),
    list(["s"], "take away", () => page.open("take")),
    list(["b"], "next engine as baseline, then none", page.nextBaseline),
  ];
}
