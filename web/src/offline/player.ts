import type { ComparedRow, EstimateDoc } from "../api/types";
import { wrap } from "../state/angles";
import { shown, unitOf } from "../ui/numbers";
import type { Geometry, Result } from "../kin";
import { drawEndView, commonOf, plan, type Drawn, type Paints, type Common } from "./drawing";
import { style, themes } from "./look";

// The page that is taken away: engines side by side from the drive end, in step, with their figures. It
// is built with plain elements, so that it stays small and runs in any browser from any disk.

/** Everything that the page shows. */
export interface PageData {
  version: 1;
  title: string;
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

type Child = Node | string;

function el(
  tag: string,
  attributes: Record<string, string> = {},
  ...children: Child[]
): HTMLElement {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  e.append(...children);
  return e;
}

function start(data: PageData): void {
  const sheet = el("style");
  sheet.textContent = style;
  document.head.append(sheet);

  const dark = matchMedia("(prefers-color-scheme: dark)");
  let paints: Paints = themes[dark.matches ? "dark" : "light"];
  const common = commonOf(data.engines);
  const canvases: { draw: (deg: number) => void }[] = [];

  const columns = data.engines.map((e, i) => {
    const canvas = document.createElement("canvas");
    const p = plan(e.geometry, e.result);
    const g = canvas.getContext("2d");
    canvases.push({
      draw: (deg) => {
        if (!g) return;
        const sharp = Math.min(2, devicePixelRatio);
        const size = { width: canvas.clientWidth, height: canvas.clientHeight };
        if (canvas.width !== Math.round(size.width * sharp)) {
          canvas.width = Math.round(size.width * sharp);
          canvas.height = Math.round(size.height * sharp);
        }
        g.setTransform(sharp, 0, 0, sharp, 0, 0);
        drawEndView(g, size, p, deg, data.drawn, common, paints);
      },
    });
    return el(
      "article",
      {},
      el("h2", {}, el("span", { class: "plate" }, String(i + 1)), e.result.name),
      el(
        "p",
        { class: "soft" },
        `${e.displacement ? `${shown(e.displacement)} cm³, ` : ""}${shown(Math.round(e.result.speed_rpm))} rpm`,
      ),
      el("div", { role: "img", "aria-label": `${e.result.name} from the drive end` }, canvas),
    );
  });

  const play = el("button", { type: "button" }, "Pause");
  const scrub = el("input", {
    type: "range",
    min: "0",
    max: "720",
    step: "1",
    "aria-label": "Crank angle",
  }) as HTMLInputElement;
  const angle = el("output", {}, "0°");
  const pace = el("select", { "aria-label": "How fast" }) as HTMLSelectElement;
  for (const s of [1, 2, 4, 8, 20])
    pace.append(el("option", { value: String(s) }, `${s} s a turn`));
  pace.value = String(data.pace);

  const strips = el("div", { class: "strip" });
  const cursor = el("div", { class: "cursor" });
  data.engines.forEach((e, i) => {
    const row = el("div", { class: "row" });
    const turns = e.geometry.cycle_deg === 360 ? [0, 360] : [0];
    for (const c of e.geometry.cylinders)
      for (const t of turns) {
        const mark = el("span", { class: `firing bank${c.bank % 4}` }, c.name);
        mark.style.left = `${(100 * wrap(c.fires_at_deg + t)) / 720}%`;
        row.append(mark);
      }
    strips.append(el("span", { class: "plate" }, String(i + 1)), row);
  });
  strips.append(cursor);

  document.body.append(
    el(
      "main",
      {},
      el("h1", {}, data.title),
      el("p", { class: "soft" }, `Made with Crankwright on ${data.made}. It needs no network.`),
      el("div", { class: "engines" }, ...columns),
      legend(data, common),
      el("h3", {}, "Firing over two turns"),
      strips,
      table(data),
      el("div", { class: "notes" }, ...data.engines.map(notes)),
      el("p", { class: "soft" }, data.caution),
    ),
    el(
      "div",
      { class: "transport", role: "group", "aria-label": "Crank" },
      play,
      scrub,
      angle,
      pace,
    ),
  );

  let deg = data.angle;
  let playing = !matchMedia("(prefers-reduced-motion: reduce)").matches;
  let last = 0;
  const show = () => {
    for (const c of canvases) c.draw(deg);
    scrub.value = String(Math.round(deg));
    angle.textContent = `${deg.toFixed(0)}°`;
    cursor.style.setProperty("--at", String(deg / 720));
  };
  const frame = (ms: number) => {
    if (!playing) return;
    const dt = last === 0 ? 0 : Math.min(0.1, (ms - last) / 1000);
    last = ms;
    deg = wrap(deg + (360 * dt) / Number(pace.value));
    show();
    requestAnimationFrame(frame);
  };
  const set = (on: boolean) => {
    playing = on;
    last = 0;
    play.textContent = on ? "Pause" : "Play";
    if (on) requestAnimationFrame(frame);
  };
  play.addEventListener("click", () => set(!playing));
  scrub.addEventListener("input", () => {
    set(false);
    deg = Math.min(719.9, Number(scrub.value));
    show();
  });
  addEventListener("keydown", (e) => {
    if (e.target instanceof HTMLElement && e.target.closest("input, select, button, summary"))
      return;
    if (e.key === " ") set(!playing);
    else if (e.key === "ArrowRight" || e.key === "ArrowLeft") {
      set(false);
      deg = wrap(deg + (e.key === "ArrowRight" ? 1 : -1));
      show();
    } else return;
    e.preventDefault();
  });
  dark.addEventListener("change", () => {
    paints = themes[dark.matches ? "dark" : "light"];
    show();
  });
  addEventListener("resize", show);
  show();
  set(playing);
}

/** What the arrows mean, and how large the longest is. */
function legend(data: PageData, common: Common): HTMLElement {
  const d = data.drawn;
  const key = (on: boolean, kind: string, text: string) =>
    on ? [el("span", { class: `key ${kind}` }, text)] : [];
  const orders = d.orders === "all" ? "all orders" : `orders ${d.orders.join(", ")}`;
  return el(
    "p",
    { class: "legend" },
    ...key(d.resultant, "ink", `resultant force, ${orders}; full length ${shown(common.forceN)} N`),
    ...key(d.parts, "with", "part that turns with the crank"),
    ...key(d.parts, "against", "part that turns against it"),
    ...key(
      d.couple,
      "thin",
      `couple, as a pair of forces; full length ${shown(common.momentNm)} N m`,
    ),
    ...key(d.trace, "soft", "path of the resultant’s tip"),
  );
}

function table(data: PageData): HTMLElement {
  const head = el("tr", {}, el("th", { scope: "col" }, "figure"));
  for (const e of data.engines) head.append(el("th", { scope: "col" }, e.result.name));
  const body = el("tbody");
  for (const row of data.rows) {
    const unit = unitOf(row.unit);
    const tr = el("tr", {}, el("th", { scope: "row" }, unit ? `${row.name} [${unit}]` : row.name));
    row.values.forEach((v, i) => {
      const mark = row.best.includes(i) ? "best" : row.worst.includes(i) ? "worst" : "";
      const td = el("td", mark ? { class: mark } : {});
      if (mark) td.append(el("b", {}, `${mark === "best" ? "▲" : "▽"} ${mark} `));
      td.append(shown(v));
      tr.append(td);
    });
    body.append(tr);
  }
  return el(
    "div",
    { class: "scroll", tabindex: "0", role: "region", "aria-label": "Figures" },
    el("table", {}, el("thead", {}, head), body),
  );
}

function notes(e: PageData["engines"][number]): HTMLElement {
  const list = el("ul", {}, ...e.summary.map((s) => el("li", {}, s)));
  const rules = el(
    "ul",
    {},
    ...e.estimates.map((x) => el("li", {}, `${x.key}: ${x.shown}; ${x.rule}`)),
  );
  return el(
    "section",
    {},
    el("h3", {}, e.result.name),
    list,
    el("details", {}, el("summary", {}, `${e.estimates.length} estimated values`), rules),
  );
}

const source = document.getElementById("data");
if (source?.textContent) start(JSON.parse(source.textContent) as PageData);
