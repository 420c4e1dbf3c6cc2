import {
  Train,
  couple,
  direction,
  flashes,
  force,
  moment,
  plus,
  times,
  trace,
  type CylinderPlace,
  type Geometry,
  type OrderChoice,
  type Plane,
  type Result,
} from "../kin";

// A drawing of the crank train from the drive end on a plain canvas: the page taken away uses it, and
// the workbench where there is no WebGL.

/** Colours by their role in the figures. */
export type Paints = Record<string, string>;

/** What of the forces is drawn. */
export interface Drawn {
  orders: OrderChoice;
  resultant: boolean;
  couple: boolean;
  parts: boolean;
  trace: boolean;
  flashes: boolean;
}

/** What the drawings of several engines share, so that sizes and arrows can be compared. */
export interface Common {
  /** What the longest arrows stand for. */
  forceN: number;
  momentNm: number;
  /** Half sizes of all engines [m]. */
  halves: { y: number; z: number }[];
}

/** What the drawings of some engines share. */
export function commonOf(engines: { geometry: Geometry; result?: Result | undefined }[]): Common {
  const most = (of: (r: Result) => number) =>
    Math.max(1e-9, ...engines.map((e) => (e.result ? of(e.result) : 0)));
  return {
    forceN: most((r) => r.balance.peak_force_N),
    momentNm: most((r) => r.balance.peak_moment_Nm),
    halves: engines.map((e) => plan(e.geometry).half),
  };
}

/** Everything of one engine that does not change with the crank angle. */
export interface Plan {
  train: Train;
  geometry: Geometry;
  result: Result | undefined;
  /** Middle and half size of what must fit into the picture [m]. */
  middle: Plane;
  half: { y: number; z: number };
  /** Cylinders from the free end to the drive end: far parts first. */
  far: number[];
}

/** Prepares an engine. */
export function plan(geometry: Geometry, result?: Result): Plan {
  const train = new Train(geometry);
  let [left, right, low, high] = [0, 0, 0, 0];
  const reach = (p: Plane, r: number) => {
    left = Math.min(left, p.y - r);
    right = Math.max(right, p.y + r);
    low = Math.min(low, p.z - r);
    high = Math.max(high, p.z + r);
  };
  const bore = boreOf(geometry);
  const radius = Math.max(0.01, ...train.throws.map((t) => t.radius));
  reach({ y: 0, z: 0 }, radius * 1.75);
  for (const c of train.cylinders) {
    const top = armOf(c) + radius + c.crown + bore * 0.12;
    const tip = plus(times(c.out, top), times(c.across, c.boreOffset));
    reach(plus(tip, times(c.across, bore * 0.55)), 0);
    reach(plus(tip, times(c.across, -bore * 0.55)), 0);
  }
  for (const s of train.shafts) reach(s.at, bore * 0.25);
  const far = train.cylinders.map((c) => c.index);
  far.sort((a, b) => (train.cylinders[a]?.x ?? 0) - (train.cylinders[b]?.x ?? 0));
  return {
    train,
    geometry,
    result,
    middle: { y: (left + right) / 2, z: (low + high) / 2 },
    half: { y: (right - left) / 2, z: (high - low) / 2 },
    far,
  };
}

/** From the crankpin to the piston pin: a linked rod stands on its knuckle pin [m]. */
function armOf(c: CylinderPlace): number {
  return c.rod + c.knuckle;
}

function boreOf(g: Geometry): number {
  const stroke = Math.max(0, ...g.cylinders.map((c) => c.stroke_mm));
  return (g.bore_mm > 0 ? g.bore_mm : stroke) / 1000;
}

/** Draws an engine at a crank angle [deg] into a canvas of a size in CSS pixels. */
export function drawEndView(
  g: CanvasRenderingContext2D,
  size: { width: number; height: number },
  p: Plan,
  angleDeg: number,
  what: Drawn,
  common: Common,
  paints: Paints,
): void {
  g.clearRect(0, 0, size.width, size.height);
  const margin = 14;
  const scale = Math.min(
    ...[p.half, ...common.halves].map((h) =>
      Math.min((size.width / 2 - margin) / h.y, (size.height / 2 - margin) / h.z),
    ),
  );
  const pen = new Pen(g, scale, {
    y: size.width / 2 - p.middle.y * scale,
    z: size.height / 2 + p.middle.z * scale,
  });
  const lit = new Map(
    what.flashes ? flashes(p.train, angleDeg).map((f) => [f.cylinder, f.strength]) : [],
  );
  bores(pen, p, paints, lit);
  for (const i of p.far) drive(pen, p, i, angleDeg, paints);
  shafts(pen, p, angleDeg, paints);
  names(pen, p, paints);
  if (p.result)
    vectors(
      pen,
      p.result,
      angleDeg,
      what,
      common,
      paints,
      (0.38 * Math.min(size.width, size.height)) / scale,
    );
}

/** Draws in metres, y to the right and z up. */
class Pen {
  constructor(
    readonly g: CanvasRenderingContext2D,
    readonly scale: number,
    readonly origin: Plane,
  ) {}

  at(p: Plane): [number, number] {
    return [this.origin.y + p.y * this.scale, this.origin.z - p.z * this.scale];
  }

  line(points: Plane[], stroke: string, width: number, dash: number[] = []): void {
    this.path(points);
    this.g.setLineDash(dash);
    this.g.strokeStyle = stroke;
    this.g.lineWidth = width;
    this.g.stroke();
    this.g.setLineDash([]);
  }

  area(points: Plane[], fill: string, stroke: string, width = 1.25): void {
    this.path(points);
    this.g.closePath();
    this.g.fillStyle = fill;
    this.g.fill();
    this.g.strokeStyle = stroke;
    this.g.lineWidth = width;
    this.g.stroke();
  }

  disc(middle: Plane, radius: number, fill: string, stroke: string, width = 1.25): void {
    const [x, y] = this.at(middle);
    this.g.beginPath();
    this.g.arc(x, y, Math.max(0.5, radius * this.scale), 0, 2 * Math.PI);
    this.g.fillStyle = fill;
    this.g.fill();
    this.g.strokeStyle = stroke;
    this.g.lineWidth = width;
    this.g.stroke();
  }

  arrow(tail: Plane, tip: Plane, stroke: string, width: number, dash: number[] = []): void {
    const [x0, y0] = this.at(tail);
    const [x1, y1] = this.at(tip);
    const long = Math.hypot(x1 - x0, y1 - y0);
    if (long < 2) return;
    this.line([tail, tip], stroke, width, dash);
    const head = Math.min(10, long * 0.6);
    const a = Math.atan2(y1 - y0, x1 - x0);
    this.g.beginPath();
    this.g.moveTo(x1, y1);
    this.g.lineTo(x1 - head * Math.cos(a - 0.4), y1 - head * Math.sin(a - 0.4));
    this.g.lineTo(x1 - head * Math.cos(a + 0.4), y1 - head * Math.sin(a + 0.4));
    this.g.closePath();
    this.g.fillStyle = stroke;
    this.g.fill();
  }

  private path(points: Plane[]): void {
    this.g.beginPath();
    this.g.lineJoin = "round";
    points.forEach((p, i) => {
      const [x, y] = this.at(p);
      if (i === 0) this.g.moveTo(x, y);
      else this.g.lineTo(x, y);
    });
  }
}

function bores(pen: Pen, p: Plan, paints: Paints, lit: Map<number, number>): void {
  const bore = boreOf(p.geometry);
  const seen = new Set<string>();
  for (const c of p.train.cylinders) {
    const r = Math.max(0, ...p.train.throws.map((t) => t.radius));
    const top = armOf(c) + r + c.crown + bore * 0.06;
    const bottom = Math.max(r * 1.2, armOf(c) - r + c.crown - bore * 0.75);
    const corner = (along: number, side: number) =>
      plus(times(c.out, along), times(c.across, c.boreOffset + side * bore * 0.52));
    const strength = lit.get(c.index) ?? 0;
    if (strength > 0) {
      pen.g.globalAlpha = 0.85 * strength;
      const deck = armOf(c) + r * 0.4 + c.crown;
      pen.area(
        [corner(deck, -1), corner(top, -1), corner(top, 1), corner(deck, 1)],
        paints["against"] ?? "",
        "transparent",
      );
      pen.g.globalAlpha = 1;
    }
    const place = `${c.axis.toFixed(4)} ${c.boreOffset.toFixed(5)}`;
    if (seen.has(place)) continue;
    seen.add(place);
    const line = paints["soft"] ?? "";
    pen.line([corner(bottom, -1), corner(top, -1), corner(top, 1), corner(bottom, 1)], line, 1.5);
    const end = plus(times(c.out, top + bore * 0.1), times(c.across, c.boreOffset));
    pen.line([times(c.across, c.boreOffset), end], paints["rule"] ?? "", 1, [8, 3, 2, 3]);
  }
}

/** Web, rod and piston of one cylinder. */
function drive(pen: Pen, p: Plan, index: number, angleDeg: number, paints: Paints): void {
  const c = p.train.cylinders[index];
  if (!c) return;
  const { train, geometry } = p;
  const { pin, piston, rod } = train.pose(index, angleDeg);
  const outline = paints["ink"] ?? "";
  const bore = boreOf(geometry);
  const main = geometry.main_journal.diameter_mm / 2000;
  const journal = geometry.crankpin.diameter_mm / 2000;
  if (c.master < 0) web(pen, p, c.throw, angleDeg, paints);
  // Rod: a tapered bar between its eyes.
  const big = c.master < 0 ? journal * 1.25 : bore * 0.14;
  const side = { y: -rod.z, z: rod.y };
  const edge = (at: Plane, half: number) => plus(at, times(side, half));
  pen.area(
    [
      edge(pin, big * 0.6),
      edge(piston, bore * 0.1),
      edge(piston, -bore * 0.1),
      edge(pin, -big * 0.6),
    ],
    paints["metal"] ?? "",
    outline,
  );
  pen.disc(pin, big, paints["metal"] ?? "", outline);
  pen.disc(pin, c.master < 0 ? journal : big * 0.6, paints["steel"] ?? "", outline);
  // Piston
  const skirt = c.crown * 0.95;
  const centre = times(c.across, c.boreOffset - c.offset);
  const corner = (along: number, s: number) =>
    plus(plus(piston, centre), plus(times(c.out, along), times(c.across, s * bore * 0.5)));
  pen.area(
    [corner(-skirt, -0.92), corner(c.crown, -1), corner(c.crown, 1), corner(-skirt, 0.92)],
    paints["metal"] ?? "",
    outline,
  );
  for (const share of [0.85, 0.65])
    pen.line([corner(c.crown * share, -1), corner(c.crown * share, 1)], outline, 0.75);
  pen.disc(piston, bore * 0.12, paints["steel"] ?? "", outline);
  pen.disc({ y: 0, z: 0 }, main, paints["steel"] ?? "", outline);
}

function web(pen: Pen, p: Plan, index: number, angleDeg: number, paints: Paints): void {
  const t = p.train.throws[index];
  if (!t) return;
  const turn = p.train.crankTurn(angleDeg);
  const to = direction(t.angle + turn);
  const pin = times(to, t.radius);
  const journal = p.geometry.crankpin.diameter_mm / 2000;
  const half = p.geometry.web_width_mm / 2000;
  const side = { y: -to.z, z: to.y };
  for (const u of p.train.counterweights) {
    if (u.throw !== index) continue;
    const away = u.angle + turn;
    const rim = t.radius + journal * 0.9;
    const sector = Array.from({ length: 15 }, (_, i) =>
      times(direction(away + ((i - 7) / 7) * 1.05), rim),
    );
    pen.area([...sector, { y: 0, z: 0 }], paints["steel"] ?? "", paints["ink"] ?? "");
  }
  const end = half * 0.62;
  pen.area(
    [
      times(side, half * 0.8),
      plus(pin, times(side, end)),
      plus(plus(pin, times(to, journal * 1.05)), times(side, end * 0.45)),
      plus(plus(pin, times(to, journal * 1.05)), times(side, -end * 0.45)),
      plus(pin, times(side, -end)),
      times(side, -half * 0.8),
      plus(times(to, -half * 0.6), times(side, -half * 0.4)),
      plus(times(to, -half * 0.6), times(side, half * 0.4)),
    ],
    paints["band"] ?? "",
    paints["ink"] ?? "",
  );
}

function shafts(pen: Pen, p: Plan, angleDeg: number, paints: Paints): void {
  const r = boreOf(p.geometry) * 0.2;
  p.train.shafts.forEach((s, i) => {
    pen.disc(s.at, r, paints["paper"] ?? "", paints["fourth"] ?? "");
    const turn = p.train.shaftTurn(i, angleDeg);
    for (const m of s.masses.slice(0, 1)) {
      const half = Array.from({ length: 13 }, (_, k) =>
        plus(s.at, times(direction(m.angle + turn + ((k - 6) / 6) * (Math.PI / 2)), r * 0.85)),
      );
      pen.area(half, paints["fourth"] ?? "", paints["fourth"] ?? "");
    }
  });
}

function names(pen: Pen, p: Plan, paints: Paints): void {
  const g = pen.g;
  const bore = boreOf(p.geometry);
  g.font = '600 11px "Segoe UI", Roboto, Arial, sans-serif';
  g.textAlign = "center";
  g.textBaseline = "middle";
  g.fillStyle = paints["soft"] ?? "";
  const axes = new Map<string, { at: Plane; names: string[] }>();
  for (const c of p.train.cylinders) {
    const r = Math.max(0, ...p.train.throws.map((t) => t.radius));
    const place = `${c.axis.toFixed(4)} ${c.boreOffset.toFixed(5)}`;
    const at = plus(
      times(c.out, armOf(c) + r + c.crown + bore * 0.28),
      times(c.across, c.boreOffset + bore * 0.12),
    );
    const known = axes.get(place);
    if (known) known.names.push(c.name);
    else axes.set(place, { at, names: [c.name] });
  }
  for (const { at, names: list } of axes.values()) {
    const [x, y] = pen.at(at);
    const width = pen.g.canvas.clientWidth || pen.g.canvas.width;
    const text = list.join(" ");
    const half = g.measureText(text).width / 2 + 3;
    g.fillText(text, Math.min(width - half, Math.max(half, x)), Math.max(8, y));
  }
}

function vectors(
  pen: Pen,
  result: Result,
  angleDeg: number,
  what: Drawn,
  common: Common,
  paints: Paints,
  /** Length of the longest arrows [m]. */
  reach: number,
): void {
  const factor = reach / common.forceN;
  const zero = { y: 0, z: 0 };
  if (what.trace && result.balance.peak_force_N * factor * pen.scale > 1) {
    const path = trace(result, what.orders, 120).map((v) => times(v, factor));
    pen.line([...path, ...path.slice(0, 1)], paints["soft"] ?? "", 1.5);
  }
  const f = force(result, angleDeg, what.orders);
  if (what.parts) {
    pen.arrow(zero, times(f.withCrank, factor), paints["with"] ?? "", 2.5);
    pen.arrow(zero, times(f.againstCrank, factor), paints["against"] ?? "", 2.5, [7, 3]);
  }
  if (what.resultant) {
    pen.arrow(zero, times(f.sum, factor), paints["paper"] ?? "", 6.5);
    pen.arrow(zero, times(f.sum, factor), paints["ink"] ?? "", 3.5);
  }
  if (what.couple) {
    const m = moment(result, angleDeg, what.orders).sum;
    const pair = times(couple(m, 1), reach / common.momentNm);
    pen.arrow(zero, pair, paints["ink"] ?? "", 1.75);
    pen.arrow(zero, times(pair, -1), paints["ink"] ?? "", 1.75, [4, 3]);
  }
}
