import { inWords } from "../api/client";
import type { StudyColumn } from "../api/types";
import { url } from "../state/url.svelte";
import { read, withRanges, written, type Brushes, type Range } from "./brush";
import type { Plane, Span } from "./cloud";
import type { Axes, Colour } from "./paint";
import type { Answer, Ask, Look, Picked, Pixels, Seen } from "./painter";
import { getPoints } from "./points";

/** So many candidates are drawn; of more, the server leaves some out evenly. */
const mostPoints = 1_000_000;

/**
 * The candidates that were kept, drawn by a worker. While it draws, only the last of the next brushes counts; the handles
 * of the brushes move at once.
 */
export class Picture {
  #columns = $state.raw<StudyColumn[]>([]);
  #spans = $state.raw<Span[]>([]);
  #index = $state.raw<Float64Array>(new Float64Array());
  #kept = $state(0);
  #loading = $state(false);
  #error = $state("");
  #brushes = $state.raw<Brushes>(read(url.values.brush));
  #chosen = $state(0);
  #shown = $state.raw<Pick<Seen, "axesAll" | "axesChosen" | "planeAll" | "planeChosen">>({});
  #worker: Worker | undefined;
  #axes: Axes | undefined;
  #plane: Plane | undefined;
  #colours: { all: Colour; chosen: Colour } = { all: [128, 128, 128], chosen: [10, 92, 173] };
  #seq = 0;
  #busy = false;
  #behind = $state(false);
  #wanted = false;
  #loads = 0;
  #picks: ((p: Picked) => void)[] = [];

  /** Columns that are there, with their words. */
  get columns(): StudyColumn[] {
    return this.#columns;
  }
  /** Least and largest number of each. */
  get spans(): Span[] {
    return this.#spans;
  }
  /** How many candidates are drawn. */
  get count(): number {
    return this.#index.length;
  }
  /** How many were kept in all. */
  get kept(): number {
    return this.#kept;
  }
  get loading(): boolean {
    return this.#loading;
  }
  get error(): string {
    return this.#error;
  }
  get brushes(): Brushes {
    return this.#brushes;
  }
  get brushed(): boolean {
    return Object.keys(this.#brushes).length > 0;
  }
  /** How many of those drawn are within all brushes. */
  get chosen(): number {
    return this.#chosen;
  }
  /** Whether what is shown is behind what is brushed. */
  get behind(): boolean {
    return this.#behind;
  }
  get axesAll(): Pixels | undefined {
    return this.#shown.axesAll;
  }
  get axesChosen(): Pixels | undefined {
    return this.#shown.axesChosen;
  }
  get planeAll(): Pixels | undefined {
    return this.#shown.planeAll;
  }
  get planeChosen(): Pixels | undefined {
    return this.#shown.planeChosen;
  }

  /** Reads the candidates of a study. */
  async load(file: string, columns: string[]): Promise<void> {
    const number = ++this.#loads;
    this.#loading = true;
    try {
      const points = await getPoints(file, columns, mostPoints);
      if (number !== this.#loads) return;
      this.#worker ??= this.#begin();
      this.#columns = points.head.columns;
      this.#index = points.index;
      this.#kept = points.head.kept;
      this.#chosen = points.head.count;
      this.#shown = {};
      this.#error = "";
      this.#post(
        { kind: "data", columns: points.columns },
        points.columns.map((c) => c.buffer),
      );
    } catch (e) {
      if (number === this.#loads) this.#error = inWords(e);
    }
    if (number === this.#loads) this.#loading = false;
  }

  /** Nothing is kept. */
  clear(): void {
    this.#loads++;
    this.#loading = false;
    this.#columns = [];
    this.#index = new Float64Array();
    this.#spans = [];
    this.#shown = {};
    this.#kept = 0;
  }

  /** Brushes a column; no ranges: it is free. */
  brush(key: string, ranges: readonly Range[]): void {
    this.#brushes = withRanges(this.#brushes, key, ranges);
    this.#brushedAnew();
  }

  /** Brushes several columns at once. */
  brushAll(brushes: Brushes): void {
    this.#brushes = brushes;
    this.#brushedAnew();
  }

  #brushedAnew(): void {
    url.set({ brush: written(this.#brushes) }, "move");
    this.#draw();
  }

  setAxes(axes: Axes | undefined): void {
    this.#axes = axes;
    this.#draw();
  }

  setPlane(plane: Plane | undefined): void {
    this.#plane = plane;
    this.#draw();
  }

  setColours(all: Colour, chosen: Colour): void {
    this.#colours = { all, chosen };
    this.#draw();
  }

  /** The candidate drawn nearest to a pixel of the plane. */
  pick(x: number, y: number, radius: number): Promise<Picked & { index: number }> {
    return new Promise((done) => {
      this.#picks.push((p) => done({ ...p, index: this.#index[p.row] ?? -1 }));
      this.#post({ kind: "pick", x, y, radius });
    });
  }

  end(): void {
    this.#worker?.terminate();
    this.#worker = undefined;
  }

  #begin(): Worker {
    const worker = new Worker(new URL("./cloud.worker.ts", import.meta.url), { type: "module" });
    worker.onmessage = (e: MessageEvent<Answer>) => this.#answered(e.data);
    worker.onerror = (e) => {
      this.#error = e.message || "the pictures cannot be drawn";
    };
    return worker;
  }

  #post(ask: Ask, transfer: Transferable[] = []): void {
    this.#worker?.postMessage(ask, transfer);
  }

  #answered(answer: Answer): void {
    if (answer.kind === "data") {
      this.#spans = answer.spans;
      this.#busy = false;
      this.#draw();
    } else if (answer.kind === "pick") this.#picks.shift()?.(answer.picked);
    else {
      const { seen } = answer;
      this.#busy = false;
      this.#chosen = seen.chosen;
      const { axesAll, axesChosen, planeAll, planeChosen } = seen;
      this.#shown = {
        ...this.#shown,
        ...(axesAll && { axesAll }),
        ...(axesChosen && { axesChosen }),
        ...(planeAll && { planeAll }),
        ...(planeChosen && { planeChosen }),
      };
      performance.mark("cw:cloud");
      this.#behind = this.#wanted;
      if (this.#wanted) this.#draw();
    }
  }

  #draw(): void {
    if (!this.#worker || this.#spans.length === 0 || this.#spans.length !== this.#columns.length)
      return;
    if (this.#busy) {
      this.#wanted = true;
      return;
    }
    this.#wanted = false;
    this.#busy = true;
    this.#behind = true;
    const look: Look = {
      seq: ++this.#seq,
      brushes: this.#columns.map((c) => this.#brushes[c.key]?.map((r) => ({ ...r }))),
      axes: this.#axes,
      plane: this.#plane,
      ...this.#colours,
    };
    this.#post({ kind: "look", look });
  }
}
