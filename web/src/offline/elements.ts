import { wrap } from "../state/angles";
import { shown, unitOf } from "../ui/numbers";
import type { Common } from "./drawing";
import type { PageData } from "./player";

// The parts of the line-up that is taken away that do not move, as plain elements.

type Child = Node | string;

/** An element with its attributes and what is in it. */
export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Record<string, string> = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  e.append(...children);
  return e;
}

/** What the arrows mean, and how large the longest is. */
export function legend(data: PageData, common: Common): HTMLElement {
  const d = data.drawn;
  const key = (on: boolean, kind: string, text: string) =>
    on ? [el("span", { class: `live-key live-${kind}` }, text)] : [];
  const orders = d.orders === "all" ? "all orders" : `orders ${d.orders.join(", ")}`;
  return el(
    "p",
    { class: "live-legend" },
    ...key(d.resultant, "ink", `resultant force, ${orders}; full length ${shown(common.forceN)} N`),
    ...key(d.parts, "with", "part that turns with the crank"),
    ...key(d.parts, "against", "part that turns against it"),
    ...key(
      d.couple,
      "thin",
      `couple, as a pair of forces; full length ${shown(common.momentNm)} N m`,
    ),
    ...key(d.trace, "path", "path of the resultant’s tip"),
  );
}

/** When which cylinder fires, a row an engine, and a cursor that moves over all of them. */
export function firings(data: PageData): { strips: HTMLElement; cursor: HTMLElement } {
  const strips = el("div", { class: "live-strip" });
  const cursor = el("div", { class: "live-cursor" });
  data.engines.forEach((e, i) => {
    const fires = e.geometry.cylinders.flatMap((c) =>
      (e.geometry.cycle_deg === 360 ? [0, 360] : [0]).map((turn) => ({
        c,
        at: wrap(c.fires_at_deg + turn),
      })),
    );
    fires.sort((a, b) => a.at - b.at);
    const said = fires.map((f) => `${f.c.name} at ${shown(f.at)}°`).join(", ");
    const row = el("div", {
      class: "live-row",
      role: "img",
      "aria-label": `${e.result.name} fires ${said}`,
    });
    for (const { c, at } of fires) {
      const mark = el("span", { class: `live-firing live-bank${c.bank % 4}` }, c.name);
      mark.style.left = `${(100 * at) / 720}%`;
      row.append(mark);
    }
    strips.append(el("span", { class: "live-plate", "aria-hidden": "true" }, String(i + 1)), row);
  });
  strips.append(cursor);
  return { strips, cursor };
}

/** All figures side by side. */
export function table(data: PageData): HTMLElement {
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

/** One engine in words. */
export function notes(e: PageData["engines"][number]): HTMLElement {
  const list = el("ul", {}, ...e.summary.map((s) => el("li", {}, s)));
  const rules = el(
    "ul",
    {},
    ...e.estimates.map((x) => el("li", {}, `${x.key}: ${x.shown}; ${x.rule}`)),
  );
  return el(
    "section",
    {},
    el("h3", { class: "live-head" }, e.result.name),
    list,
    el("details", {}, el("summary", {}, `${e.estimates.length} estimated values`), rules),
  );
}
