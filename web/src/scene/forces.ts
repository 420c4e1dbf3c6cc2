import { GreaterDepth, Group, Mesh, MeshBasicMaterial, Vector3 } from "three";
import {
  couple,
  coupleTrace,
  force,
  moment,
  nothing,
  partForces,
  trace,
  type Contribution,
  type PartForce,
  type Plane,
  type Result,
  type Train,
} from "../kin";
import { Arrow, ArrowPaint, ArrowShapes } from "./arrows";
import { Label } from "./label";
import type { SceneOptions } from "./options";
import { paints } from "./palette";
import type { Sizes } from "./sizes";
import { closedTube } from "./tube";

type Role = "ink" | "with" | "against" | "third" | "fourth" | "soft";
const roles: readonly Role[] = ["ink", "with", "against", "third", "fourth", "soft"];

/** All arrows of one engine, in the axes of the block. */
export class Forces {
  readonly group = new Group();
  private readonly shapes = new ArrowShapes();
  private readonly paint = Object.fromEntries(roles.map((r) => [r, new ArrowPaint()])) as Record<
    Role,
    ArrowPaint
  >;
  private readonly arrows = new Map<string, Arrow>();
  private readonly labels = new Map<string, Label>();
  private readonly tracePaint = new MeshBasicMaterial({
    transparent: true,
    opacity: 0.85,
    toneMapped: false,
  });
  private readonly traceHidden = new MeshBasicMaterial({
    transparent: true,
    opacity: 0.3,
    depthFunc: GreaterDepth,
    depthWrite: false,
    toneMapped: false,
  });
  private readonly traces = new Group();
  private traceKey = "";

  constructor(
    private readonly train: Train,
    private readonly sizes: Sizes,
    private result: Result,
    private readonly thickness: number,
  ) {
    this.group.name = "forces";
    this.group.add(this.traces);
  }

  setResult(r: Result): void {
    this.result = r;
    this.traceKey = "";
  }

  /** Distance between the two forces that stand for the couple: from end to end of the crank [m]. */
  get span(): number {
    return this.sizes.line.to - this.sizes.line.from;
  }

  setTheme(o: SceneOptions): void {
    const p = paints(o.theme);
    for (const r of roles) this.paint[r].set(p[r], p.paper);
    this.tracePaint.color.set(p.soft);
    this.traceHidden.color.set(p.soft);
    for (const [name, l] of this.labels) l.paint(o.theme, p[labelRole(name)]);
  }

  update(deg: number, o: SceneOptions): void {
    for (const a of this.arrows.values()) a.group.visible = false;
    for (const l of this.labels.values()) l.sprite.visible = false;
    const s = o.metresPerNewton;
    this.updateTraces(o);
    if (!(s > 0)) return;
    const { arrows, orders } = o;
    const r = this.result;
    const x = r.balance.reference_mm / 1000;
    const centre = new Vector3(x, 0, 0);
    if (arrows.resultant || arrows.parts) {
      const f = force(r, deg, orders);
      if (arrows.parts) {
        const w = this.show("with", "with", centre, f.withCrank, s, 1, false);
        const a = this.show("against", "against", w.tip.clone(), f.againstCrank, s, 1, true);
        this.word("with the crank", w, o);
        this.word("against the crank", a, o);
      }
      if (arrows.resultant)
        this.word("force", this.show("resultant", "ink", centre, f.sum, s, 1.35, false), o);
    }
    if (arrows.couple) this.couple(deg, o);
    if (arrows.pistons || arrows.crankMasses || arrows.shafts) this.parts(deg, o);
  }

  private couple(deg: number, o: SceneOptions): void {
    const { line } = this.sizes;
    const f = couple(moment(this.result, deg, o.orders).sum, this.span);
    const s = o.metresPerNewton;
    const back = { y: -f.y, z: -f.z };
    const drive = this.show("couple drive", "ink", new Vector3(line.to, 0, 0), f, s, 1, false);
    this.show("couple free", "ink", new Vector3(line.from, 0, 0), back, s, 1, false);
    this.word("couple", drive, o);
  }

  private parts(deg: number, o: SceneOptions): void {
    for (const [i, p] of partForces(this.result, deg, o.orders).entries()) {
      const { kind, part } = p.contribution;
      const [wanted, role] = looks(kind, o);
      if (!wanted) continue;
      this.show(`${i} ${part}`, role, this.foot(p, deg), p.force, o.metresPerNewton, 0.85, false);
    }
  }

  /** Where the force of a part acts. */
  foot(p: PartForce, deg: number): Vector3 {
    const { kind, part, at_mm } = p.contribution;
    const x = at_mm / 1000;
    if (kind === "cylinder") {
      const c = this.train.cylinders.find((k) => part === `cylinder ${k.name}` || part === k.name);
      const at = c ? this.train.pose(c.index, deg).piston : nothing;
      return new Vector3(x, at.y, at.z);
    }
    if (kind === "shaft") {
      const at = this.train.shafts[Number(/\d+$/.exec(part)?.[0] ?? 1) - 1]?.at ?? nothing;
      return new Vector3(x, at.y, at.z);
    }
    return new Vector3(x, 0, 0);
  }

  private show(
    name: string,
    role: Role,
    from: Vector3,
    f: Plane,
    scale: number,
    thick: number,
    broken: boolean,
  ): Arrow {
    let a = this.arrows.get(name);
    if (!a) {
      a = new Arrow(this.shapes, this.paint[role], thick * this.thickness, broken);
      this.arrows.set(name, a);
      this.group.add(a.group);
    }
    a.set(from, new Vector3(0, f.y * scale, f.z * scale));
    return a;
  }

  private word(text: string, a: Arrow, o: SceneOptions): void {
    if (!o.labels || !a.group.visible || a.length < 4 * this.thickness) return;
    let l = this.labels.get(text);
    if (!l) {
      l = new Label(text, true);
      l.paint(o.theme, paints(o.theme)[labelRole(text)]);
      this.labels.set(text, l);
      this.group.add(l.sprite);
    }
    l.sprite.visible = true;
    const off = a.tip
      .clone()
      .sub(a.group.position)
      .setLength(3 * this.thickness);
    l.sprite.position.copy(a.tip).add(off);
  }

  /** Gives the words a height and moves those apart that would cover each other in the picture. */
  spread(height: (at: Vector3) => number, right: Vector3, up: Vector3): void {
    const placed: { x: number; y: number; w: number; h: number }[] = [];
    for (const l of this.labels.values()) {
      if (!l.sprite.visible) continue;
      const p = l.sprite.position;
      const h = height(p);
      const w = l.size(h);
      const at = { x: p.dot(right), y: p.dot(up), w, h };
      for (let tries = 0; tries < 6; tries++) {
        const other = placed.find(
          (o) => Math.abs(o.x - at.x) < (o.w + at.w) / 2 && Math.abs(o.y - at.y) < 0.98 * h,
        );
        if (!other) break;
        const step = other.y - 1.02 * h - at.y;
        at.y += step;
        p.addScaledVector(up, step);
      }
      placed.push(at);
    }
  }

  private updateTraces(o: SceneOptions): void {
    const key = JSON.stringify([
      o.trace,
      o.orders,
      o.metresPerNewton,
      o.arrows.couple,
      o.arrows.resultant,
      o.arrows.parts,
    ]);
    if (key === this.traceKey) return;
    this.traceKey = key;
    for (const m of this.traces.children as Mesh[]) m.geometry.dispose();
    this.traces.clear();
    const s = o.metresPerNewton;
    if (!o.trace || !(s > 0)) return;
    const { line } = this.sizes;
    if (o.arrows.resultant || o.arrows.parts) {
      this.addTrace(this.result.balance.reference_mm / 1000, trace(this.result, o.orders), s);
    }
    if (o.arrows.couple) {
      const path = coupleTrace(this.result, this.span, o.orders);
      this.addTrace(line.to, path, s);
      this.addTrace(line.from, path, -s);
    }
  }

  private addTrace(x: number, path: readonly Plane[], scale: number): void {
    const points = path.map((p) => new Vector3(x, p.y * scale, p.z * scale));
    if (Math.max(...points.map((p) => Math.hypot(p.y, p.z))) < 1.5 * this.thickness) return;
    const tube = closedTube(points, 0.32 * this.thickness);
    for (const paint of [this.traceHidden, this.tracePaint]) {
      const m = new Mesh(tube, paint);
      m.renderOrder = 9;
      this.traces.add(m);
    }
  }

  dispose(): void {
    this.shapes.dispose();
    for (const p of Object.values(this.paint)) p.dispose();
    for (const l of this.labels.values()) l.dispose();
    for (const m of this.traces.children as Mesh[]) m.geometry.dispose();
    this.tracePaint.dispose();
    this.traceHidden.dispose();
  }
}

/** Whether the force of a kind of part is shown, and its colour. */
function looks(kind: Contribution["kind"], o: SceneOptions): [boolean, Role] {
  if (kind === "cylinder") return [o.arrows.pistons, "soft"];
  if (kind === "shaft") return [o.arrows.shafts, "fourth"];
  return [o.arrows.crankMasses, "third"];
}

const labelRole = (text: string): Role =>
  text.startsWith("with") ? "with" : text.startsWith("against") ? "against" : "ink";
