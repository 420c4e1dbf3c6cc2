import { paints, type MountedEngine, type Theme } from "../scene";

// One picture of a line-up: titles above, engines in columns, crank angle and caution below.

/** An engine as it goes into a picture or a film. */
export interface Subject {
  readonly title: string;
  readonly engine: MountedEngine;
}

export interface PictureOptions {
  readonly width: number;
  readonly height: number;
  readonly theme: Theme;
  /** The line that stands under every result. */
  readonly caution: string;
  /** What else has to be said, such as orders shown or the exaggeration of the movement. */
  readonly notes?: readonly string[];
}

type Context = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;

const stack = '"Segoe UI", Roboto, "Helvetica Neue", Arial, "Liberation Sans", sans-serif';

/** Columns for a number of engines in a picture: as square as the engines like to be. */
export function columnsFor(n: number, width: number, height: number): number {
  let best = 1;
  let most = 0;
  for (let c = 1; c <= n; c++) {
    const rows = Math.ceil(n / c);
    // empty places in the last row count a little
    const size = Math.min(width / c, (height / rows) * 1.35) * (n / (c * rows)) ** 0.3;
    if (size > most + 1e-9) {
      most = size;
      best = c;
    }
  }
  return best;
}

/** Draws a line-up at a crank angle [deg]. */
export function drawLineUp(
  g: Context,
  subjects: readonly Subject[],
  angleDeg: number,
  o: PictureOptions,
): void {
  const p = paints(o.theme);
  const unit = Math.max(9, Math.min(o.height / 40, o.width / 60));
  g.fillStyle = p.paper;
  g.fillRect(0, 0, o.width, o.height);
  g.font = `${0.8 * unit}px ${stack}`;
  const notes = lines(g, o.notes?.join(" ") ?? "", o.width - 2 * unit);
  const foot = (2.5 + 1.3 * notes.length) * unit;
  const columns = columnsFor(subjects.length, o.width, o.height - foot);
  const rows = Math.ceil(subjects.length / columns);
  const w = Math.floor(o.width / columns);
  const h = Math.floor((o.height - foot) / rows);
  const head = Math.round(2 * unit);
  subjects.forEach((s, i) => {
    const x = (i % columns) * w;
    const y = Math.floor(i / columns) * h;
    s.engine.paint(g, { x, y: y + head, width: w, height: h - head }, angleDeg);
    g.fillStyle = p.ink;
    g.font = `600 ${unit}px ${stack}`;
    g.textBaseline = "alphabetic";
    g.textAlign = "center";
    g.fillText(clipped(g, s.title, w - unit), x + w / 2, y + 1.5 * unit);
  });
  footer(g, angleDeg, o, notes, unit, foot);
}

function footer(
  g: Context,
  angleDeg: number,
  o: PictureOptions,
  notes: readonly string[],
  unit: number,
  foot: number,
): void {
  const p = paints(o.theme);
  const top = o.height - foot;
  g.fillStyle = p.band;
  g.fillRect(0, top, o.width, foot);
  const line = top + 1.55 * unit;
  g.textAlign = "left";
  g.font = `600 ${unit}px ${stack}`;
  g.fillStyle = p.ink;
  const angle = `Crank angle ${String(Math.round(angleDeg)).padStart(3, "\u2007")}°`;
  g.fillText(angle, unit, line);
  const used = g.measureText(angle).width + 2.5 * unit;
  g.font = `${0.8 * unit}px ${stack}`;
  g.fillStyle = p.soft;
  g.textAlign = "right";
  g.fillText(clipped(g, o.caution, o.width - used - unit), o.width - unit, line);
  g.textAlign = "left";
  notes.forEach((n, i) => g.fillText(n, unit, line + 1.3 * unit * (i + 1)));
}

/** A text broken at words into at most three lines. */
function lines(g: Context, text: string, width: number): string[] {
  const out: string[] = [];
  let line = "";
  for (const word of text.split(" ").filter(Boolean)) {
    const longer = line ? `${line} ${word}` : word;
    if (out.length < 2 && line && g.measureText(longer).width > width) {
      out.push(line);
      line = word;
    } else line = longer;
  }
  return line ? [...out, clipped(g, line, width)] : out;
}

function clipped(g: Context, text: string, width: number): string {
  if (g.measureText(text).width <= width) return text;
  let cut = text;
  while (cut.length > 1 && g.measureText(`${cut}…`).width > width) cut = cut.slice(0, -1);
  return `${cut.trimEnd()}…`;
}

/** The line-up as a PNG. */
export async function lineUpPng(
  subjects: readonly Subject[],
  angleDeg: number,
  o: PictureOptions,
): Promise<Blob> {
  const canvas = document.createElement("canvas");
  canvas.width = o.width;
  canvas.height = o.height;
  const g = canvas.getContext("2d");
  if (!g) throw new Error("no canvas to draw on");
  drawLineUp(g, subjects, angleDeg, o);
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/png"));
  if (!blob) throw new Error("the browser could not write the picture");
  return blob;
}
