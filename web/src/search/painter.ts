// Answers of the worker, as a class of its own so that a test needs no worker.

import type { Range } from "./brush";
import { Cloud, type Plane, type Span, type Turned } from "./cloud";
import { densityBetween, dotSize, grown, largest, tint, type Axes, type Colour } from "./paint";

/** What is to be seen. */
export interface Look {
  seq: number;
  /** By column; undefined: it is free. */
  brushes: (readonly Range[] | undefined)[];
  axes?: Axes | undefined;
  plane?: Plane | undefined;
  all: Colour;
  chosen: Colour;
}

export interface Pixels {
  width: number;
  height: number;
  data: Uint8ClampedArray<ArrayBuffer>;
}

/** What is seen. Pictures of all candidates are left out where they are what they were. */
export interface Seen {
  seq: number;
  chosen: number;
  axesAll?: Pixels;
  axesChosen?: Pixels;
  planeAll?: Pixels;
  planeChosen?: Pixels;
}

export interface Picked {
  /** Row of the candidate; −1: there is none so near. */
  row: number;
  values: number[];
}

export type Ask =
  | { kind: "data"; columns: Float32Array[] }
  | { kind: "look"; look: Look }
  | { kind: "pick"; x: number; y: number; radius: number };

export type Answer =
  { kind: "data"; spans: Span[] } | { kind: "look"; seen: Seen } | { kind: "pick"; picked: Picked };

export class Painter {
  readonly cloud: Cloud;
  readonly #columns: number;
  #brushed: string[] = [];
  #axes = "";
  #between: Uint32Array[] = [];
  #axesMost = 0;
  #axesDone = "";
  #plane = "";
  #planeMost = 0;
  #planeDone = "";
  #places: Int32Array = new Int32Array();
  #counts: Uint32Array = new Uint32Array();
  #where: Plane | undefined;
  #state = 0;
  /** Columns of the axes that #between counts. */
  #counted = "";

  constructor(columns: Float32Array[]) {
    this.cloud = new Cloud(columns);
    this.#columns = columns.length;
  }

  look(look: Look): Seen {
    look.brushes.forEach((ranges, c) => {
      const text = JSON.stringify(ranges ?? []);
      if (text === (this.#brushed[c] ?? "[]")) return;
      this.#brushed[c] = text;
      this.cloud.brush(c, ranges);
    });
    const turned = this.cloud.settle();
    if (turned.rows.length > 0) this.#follow(turned, look.axes);
    const seen: Seen = { seq: look.seq, chosen: this.cloud.chosen };
    if (look.axes) this.#drawAxes(look, look.axes, seen);
    if (look.plane) this.#drawPlane(look, look.plane, seen);
    return seen;
  }

  /** Counts follow what was brushed: by what turned, or from the start where that is more. */
  #follow(turned: Turned, axes: Axes | undefined): void {
    this.#state++;
    const few = turned.rows.length < this.cloud.count / 4;
    if (axes && JSON.stringify(axes.columns) === this.#counted) {
      if (few) this.cloud.turnBetween(this.#between, axes.columns, turned);
      else this.#between = this.cloud.between(axes.columns, true);
    } else this.#counted = "";
    if (few) this.cloud.turnFall(this.#places, this.#counts, turned);
    else this.cloud.fall(this.#places, this.#counts, true);
  }

  #drawAxes(look: Look, axes: Axes, seen: Seen): void {
    const key = JSON.stringify([axes, look.all, look.chosen]);
    const { width, height } = axes;
    if (key !== this.#axes) {
      this.#axes = key;
      const all = densityBetween(this.cloud, axes, this.cloud.between(axes.columns, false), false);
      this.#axesMost = largest(all);
      const few = this.cloud.count < 300;
      seen.axesAll = {
        width,
        height,
        data: tint(all, this.#axesMost, look.all, few ? 0.3 : 0.05, 0.55),
      };
    }
    const state = `${this.#state} ${key}`;
    if (state === this.#axesDone) return;
    this.#axesDone = state;
    const { chosen } = this.cloud;
    const columns = JSON.stringify(axes.columns);
    if (columns !== this.#counted) {
      this.#counted = columns;
      this.#between = this.cloud.between(axes.columns, true);
    }
    const density = densityBetween(this.cloud, axes, this.#between, true);
    const least = chosen < 30 ? 0.8 : chosen < 300 ? 0.45 : 0.06;
    seen.axesChosen = {
      width,
      height,
      data: tint(density, Math.max(this.#axesMost / 4, largest(density)), look.chosen, least, 0.95),
    };
  }

  #drawPlane(look: Look, plane: Plane, seen: Seen): void {
    const key = JSON.stringify([plane, look.all, look.chosen]);
    const { width, height } = plane;
    const size = dotSize(this.cloud.count);
    if (key !== this.#plane) {
      this.#plane = key;
      this.#where = plane;
      this.#places = this.cloud.place(plane);
      this.#counts = new Uint32Array(width * height);
      this.cloud.fall(this.#places, this.#counts, false);
      const all = grown(this.#counts, width, height, size);
      this.#planeMost = largest(all);
      seen.planeAll = { width, height, data: tint(all, this.#planeMost, look.all, 0.3, 0.6) };
      this.cloud.fall(this.#places, this.#counts, true);
    }
    const state = `${this.#state} ${key}`;
    if (state === this.#planeDone) return;
    this.#planeDone = state;
    const density = grown(this.#counts, width, height, size);
    seen.planeChosen = {
      width,
      height,
      data: tint(density, this.#planeMost, look.chosen, 0.4, 0.95),
    };
  }

  pick(x: number, y: number, radius: number): Picked {
    const row = this.#where ? this.cloud.nearest(this.#where, this.#places, x, y, radius) : -1;
    if (row < 0) return { row, values: [] };
    return {
      row,
      values: Array.from({ length: this.#columns }, (_, c) => this.cloud.value(c, row)),
    };
  }
}
