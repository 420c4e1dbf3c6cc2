import type { ComparedRow, EstimateDoc } from "../api/types";
import { wrap } from "../state/angles";
import { shown } from "../ui/numbers";
import type { Geometry, Result } from "../kin";
import { drawEndView, commonOf, plan, type Drawn, type Paints } from "./drawing";
import { el, firings, legend, notes, table } from "./elements";
import { aloneStyle, insideStyle, themes } from "./look";

// The line-up that is taken away: engines side by side from the drive end, in step. It stands alone, as a
// page with all figures, or inside a report that has the figures already: where the page has an element
// called line-up-live. It is built with plain elements, so that it stays small and runs in any browser
// from any disk.

/** Everything that the page shows. Package report writes the same. */
export interface PageData {
  version: 1;
  title: string;
  /** The day; empty: not said. */
  made: string;
  angle: number;
  pace: number;
  drawn: Drawn;
  engines: {
    geometry: Geometry;
    result: Result;
    displacement: number;
    summary: string[];
    estimates: EstimateDoc[];
  }[];
  rows: ComparedRow[];
  caution: string;
}

/** A drawing that follows the crank while it can be seen. */
class View {
  readonly canvas = el("canvas");
  seen = true;
  readonly #plan;
  readonly #pen = this.canvas.getContext("2d");

  constructor(
    readonly data: PageData,
    engine: PageData["engines"][number],
    readonly common: ReturnType<typeof commonOf>,
  ) {
    this.#plan = plan(engine.geometry, engine.result);
  }

  draw(deg: number, paints: Paints): void {
    const { canvas } = this;
    if (!this.#pen || !this.seen) return;
    const sharp = Math.min(2, devicePixelRatio);
    const size = { width: canvas.clientWidth, height: canvas.clientHeight };
    const [width, height] = [Math.round(size.width * sharp), Math.round(size.height * sharp)];
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width;
      canvas.height = height;
    }
    this.#pen.setTransform(sharp, 0, 0, sharp, 0, 0);
    drawEndView(this.#pen, size, this.#plan, deg, this.data.drawn, this.common, paints);
  }
}

function start(data: PageData, inside: HTMLElement | null): void {
  const sheet = el("style");
  sheet.textContent = inside ? insideStyle : aloneStyle;
  document.head.append(sheet);
  const host = inside ?? el("main", { class: "live" });
  host.hidden = false;

  const common = commonOf(data.engines);
  const views = data.engines.map((e) => new View(data, e, common));
  const columns = data.engines.map((e, i) =>
    el(
      "div",
      { class: "live-engine" },
      el(
        "div",
        {},
        el(
          inside ? "h3" : "h2",
          { class: "live-name" },
          el("span", { class: "live-plate" }, String(i + 1)),
          e.result.name,
        ),
        el(
          "p",
          { class: "live-soft" },
          `${e.displacement ? `${shown(e.displacement)} cm³, ` : ""}${shown(Math.round(e.result.speed_rpm))} rpm`,
        ),
      ),
      el(
        "div",
        { role: "img", "aria-label": `${e.result.name} from the drive end` },
        views[i]?.canvas ?? "",
      ),
    ),
  );
  const { strips, cursor } = firings(data);
  const engines = [
    el("div", { class: `live-engines${columns.length < 4 ? " live-few" : ""}` }, ...columns),
    legend(data, common),
    el(inside ? "h3" : "h2", { class: "live-head" }, "Firing over two turns"),
    strips,
  ];
  const { transport, play, scrub, angle, pace } = controls(data.pace);
  if (inside) host.append(...engines, transport);
  else {
    const made = data.made ? ` on ${data.made}` : "";
    host.append(
      el("h1", {}, data.title),
      el("p", { class: "live-soft" }, `Made with Crankwright${made}. It needs no network.`),
      ...engines,
      table(data),
      el("div", { class: "notes" }, ...data.engines.map(notes)),
      el("p", { class: "live-soft" }, data.caution),
      transport,
    );
    document.body.append(host);
  }

  const still = matchMedia("(prefers-reduced-motion: reduce)");
  let paints: Paints = {};
  let deg = data.angle;
  let playing = false;
  let running = false; // a frame is on its way
  let seen = true;
  let last = 0;
  const show = () => {
    for (const v of views) v.draw(deg, paints);
    scrub.value = String(Math.round(deg));
    angle.textContent = `${deg.toFixed(0)}°`;
    cursor.style.setProperty("--at", String(deg / 720));
  };
  const frame = (ms: number) => {
    running = playing && seen;
    if (!running) return;
    const dt = last === 0 ? 0 : Math.min(0.1, (ms - last) / 1000);
    last = ms;
    deg = wrap(deg + (360 * dt) / Number(pace.value));
    show();
    requestAnimationFrame(frame);
  };
  const go = () => {
    if (!playing || !seen || running) return;
    running = true;
    last = 0;
    requestAnimationFrame(frame);
  };
  const set = (on: boolean) => {
    playing = on;
    play.textContent = on ? "Pause" : "Play";
    go();
  };
  const turnTo = (to: number) => {
    set(false);
    deg = to;
    show();
  };
  /** Takes the colours of the page as they are now. */
  const paint = () => {
    const now = getComputedStyle(host);
    paints = Object.fromEntries(
      Object.keys(themes.light).map((k) => [k, now.getPropertyValue(`--${k}`).trim()]),
    );
    show();
  };

  play.addEventListener("click", () => set(!playing));
  scrub.addEventListener("input", () => turnTo(Math.min(719.9, Number(scrub.value))));
  still.addEventListener("change", () => still.matches && set(false));
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", paint);
  document.addEventListener("change", paint); // a choice of colours on the page
  addEventListener("beforeprint", () => {
    paints = themes.light;
    show();
  });
  addEventListener("afterprint", paint);
  addEventListener("resize", show);
  // Inside a page the keys belong to the page.
  if (!inside)
    addEventListener("keydown", (e) => {
      if (e.target instanceof HTMLElement && e.target.closest("input, select, button, summary"))
        return;
      if (e.key === " ") set(!playing);
      else if (e.key === "ArrowRight") turnTo(wrap(deg + 1));
      else if (e.key === "ArrowLeft") turnTo(wrap(deg - 1));
      else return;
      e.preventDefault();
    });
  const watch = new IntersectionObserver(
    (list) => {
      for (const { target, isIntersecting } of list) {
        if (target === host) seen = isIntersecting;
        for (const v of views) if (v.canvas === target) v.seen = isIntersecting;
      }
      show();
      go();
    },
    { rootMargin: "100px" },
  );
  for (const target of [host, ...views.map((v) => v.canvas)]) watch.observe(target);
  paint();
  set(!still.matches);
}

/** The crank's controls. */
function controls(seconds: number) {
  const play = el("button", { type: "button" }, "Pause");
  const scrub = el("input", {
    type: "range",
    min: "0",
    max: "720",
    step: "1",
    "aria-label": "Crank angle in degrees",
  });
  const angle = el("output", {}, "0°");
  const pace = el("select", { "aria-label": "How fast" });
  for (const s of [1, 2, 4, 8, 20])
    pace.append(el("option", { value: String(s) }, `${s} s a turn`));
  pace.value = String(seconds);
  const transport = el(
    "div",
    { class: "live-transport", role: "group", "aria-label": "Crank" },
    play,
    scrub,
    angle,
    pace,
  );
  return { transport, play, scrub, angle, pace };
}

const source = document.getElementById("line-up-data");
if (source?.textContent)
  start(JSON.parse(source.textContent) as PageData, document.getElementById("line-up-live"));
