import { Group, LineSegments, Mesh, Vector3, type BufferGeometry, type Material } from "three";
import { flashes, Train, type CylinderPlace, type Geometry } from "../kin";
import { Bore, BoreShapes, type BoreLook } from "./bores";
import { Body } from "./body";
import { crankSolid } from "./crank";
import { CylinderGeometry } from "three";
import { Materials } from "./materials";
import { flywheelSolid, shaftSolid, timingWheel } from "./others";
import { pistonSolid } from "./piston";
import type { BodyPart, CrankUse } from "./options";
import type { Theme } from "./palette";
import { rodKind } from "./rod";
import { sizesOf, type Sizes } from "./sizes";
import { fineDetail, type Detail, type Solid } from "./solid";

interface Shape {
  faces: BufferGeometry;
  edges: BufferGeometry;
}

/** The solid engine: a tree of named parts in metres, in the axes of the block, and how they move. */
export class EngineModel {
  readonly train: Train;
  readonly sizes: Sizes;
  readonly root = new Group();
  readonly crank = new Group();
  readonly rods: Group[] = [];
  readonly pistons: Group[] = [];
  readonly shafts: Group[] = [];
  readonly bores: Bore[] = [];
  readonly flywheel: Group | null;
  /** What of the drawing is not what the numbers say. */
  readonly notes: string[] = [];
  private readonly materials: Materials;
  private readonly shapes = new Map<string, Shape>();
  private readonly boreShapes = new BoreShapes();
  private readonly glows: Mesh[] = [];
  private readonly body: Body | null;
  private readonly glowShape = new CylinderGeometry(1, 1, 1, 32)
    .rotateX(Math.PI / 2)
    .translate(0, 0, 0.5);

  constructor(
    g: Geometry,
    detail: Detail = fineDetail,
    private readonly use: CrankUse | null = null,
    body: readonly BodyPart[] | null = null,
  ) {
    const train = (this.train = new Train(g));
    const z = (this.sizes = sizesOf(g, train, detail));
    const m = (this.materials = new Materials(detail.fine));
    this.root.name = "engine";
    const { solid, limited } = crankSolid(train, z, use);
    if (limited)
      this.notes.push(
        "Counterweights are drawn smaller than their unbalance asks for, where a piston would meet them.",
      );
    this.crank.name = "crank";
    this.crank.add(this.part("crank", () => solid, m.crank));
    const wheel = timingWheel(train, z);
    if (wheel) this.crank.add(this.part("timing wheel", () => wheel, m.crank));
    const disc = flywheelSolid(z);
    this.flywheel = disc ? this.part("flywheel", () => disc, m.flywheel) : null;
    if (this.flywheel) this.crank.add(this.flywheel);
    this.root.add(this.crank);
    for (const c of train.cylinders) {
      const kind = rodKind(train, z, c);
      const rod = this.part(`rod ${kind.key}`, () => kind.build(), m.rod);
      rod.name = `rod ${c.name}`;
      const look = `piston ${c.crown.toFixed(5)} ${(c.offset - c.boreOffset).toFixed(5)}`;
      const piston = this.part(look, () => pistonSolid(z, c), m.piston);
      piston.name = `piston ${c.name}`;
      this.rods.push(rod);
      this.pistons.push(piston);
      const bore = new Bore(c, z, this.boreShapes, m);
      this.bores.push(bore);
      const glow = new Mesh(this.glowShape, m.flash());
      glow.visible = false;
      glow.renderOrder = 4;
      this.glows.push(glow);
      this.root.add(rod, piston, bore.group);
      bore.group.add(glow);
    }
    train.shafts.forEach((h, i) => {
      const shaft = this.part(`shaft ${i}`, () => shaftSolid(h, z), m.shaft);
      shaft.name = `balance shaft ${i + 1}`;
      shaft.position.set(0, h.at.y, h.at.z);
      this.shafts.push(shaft);
      this.root.add(shaft);
    });
    this.body = body ? new Body(body, detail.sides, m) : null;
    if (this.body) this.root.add(this.body.group);
    this.setTheme("light");
    this.setAngle(0);
    if (!use) return;
    for (const part of [...this.rods, ...this.pistons, ...this.shafts, this.flywheel])
      if (part) part.visible = false;
    for (const b of this.bores) b.group.visible = false;
  }

  private part(key: string, build: () => Solid, material: Material): Group {
    let shape = this.shapes.get(key);
    if (!shape) {
      const solid = build();
      this.shapes.set(key, (shape = { faces: solid.geometry, edges: solid.edges }));
    }
    const group = new Group();
    group.name = key;
    const mesh = new Mesh(shape.faces, material);
    mesh.castShadow = mesh.receiveShadow = true;
    const lines = new LineSegments(shape.edges, this.materials.edge);
    lines.name = "edges";
    group.add(mesh, lines);
    return group;
  }

  setAngle(deg: number): void {
    const t = this.train;
    this.crank.rotation.x = t.crankTurn(deg);
    this.shafts.forEach((s, i) => (s.rotation.x = t.shaftTurn(i, deg)));
    t.cylinders.forEach((c, i) => {
      const p = t.pose(i, deg);
      const rod = this.rods[i];
      const piston = this.pistons[i];
      rod?.position.set(c.x, p.pin.y, p.pin.z);
      if (rod) rod.rotation.x = p.rodAngle;
      piston?.position.set(c.x, p.piston.y, p.piston.z);
      if (piston) piston.rotation.x = c.axis;
    });
  }

  /**
   * Lets the cylinders glow that fired last. Calm, for readers who asked for less motion, is a weak light
   * that comes and goes slowly.
   */
  setFlashes(deg: number | null, calm: boolean): void {
    for (const g of this.glows) g.visible = false;
    if (deg === null) return;
    for (const f of flashes(this.train, deg, calm ? 150 : 70)) {
      const glow = this.glows[f.cylinder];
      const c = this.train.cylinders[f.cylinder];
      const sleeve = this.sizes.sleeves[f.cylinder];
      if (!glow || !c || !sleeve) continue;
      const low = this.train.pose(f.cylinder, deg).travel + c.crown - 0.015 * this.sizes.bore;
      glow.visible = true;
      glow.position.z = low;
      const r = 0.49 * this.sizes.bore;
      glow.scale.set(r, r, Math.max(1e-4, sleeve.high - low));
      const ramp = Math.min(1, f.sinceDeg / 40) * (1 - f.sinceDeg / 150);
      (glow.material as Material).opacity = calm
        ? 0.3 * Math.max(0, ramp)
        : 0.15 + 0.75 * f.strength;
    }
  }

  setBores(look: BoreLook): void {
    for (const b of this.bores) b.show(look);
  }

  faceBores(viewer: Vector3): void {
    for (const b of this.bores) b.face(viewer);
  }

  setTheme(theme: Theme): void {
    this.materials.setTheme(theme);
  }

  /** Tells how many pixels a bore takes, so that lines do not drown a small picture. */
  setScale(pixelsPerBore: number): void {
    this.materials.setScale(pixelsPerBore);
  }

  /** Where the name of a cylinder stands: above its bore. */
  nameplace(c: CylinderPlace, above = 0.2): Vector3 {
    const high = (this.sizes.sleeves[c.index]?.high ?? 0) + above * this.sizes.bore;
    const { out, across, boreOffset } = c;
    return new Vector3(
      c.x,
      out.y * high + across.y * boreOffset,
      out.z * high + across.z * boreOffset,
    );
  }

  /** Points that the picture has to hold at any crank angle. */
  outline(): Vector3[] {
    const z = this.sizes;
    const out: Vector3[] = [...(this.body?.corners ?? [])];
    const ring = (x: number, r: number) => {
      for (let i = 0; i < 12; i++) {
        const a = (i * Math.PI) / 6;
        out.push(new Vector3(x, r * Math.cos(a), r * Math.sin(a)));
      }
    };
    const reach = Math.max(...this.train.throws.map((t) => t.radius)) + 0.63 * z.pin;
    ring(z.line.from - 0.3 * z.bore, 0.4 * z.main);
    ring(z.line.from, reach);
    ring(z.line.to, reach);
    if (this.use) return out;
    if (z.flywheel > 0) ring(z.line.to + 0.3 * z.bore, z.flywheel / 2);
    for (const c of this.train.cylinders) {
      out.push(this.nameplace(c, 0.42));
      const half = z.bore / 2 + z.wall;
      const high = z.sleeves[c.index]?.high ?? 0;
      for (const x of [c.x - half, c.x + half]) {
        for (const w of [c.boreOffset - half, c.boreOffset + half]) {
          out.push(
            new Vector3(x, c.out.y * high + c.across.y * w, c.out.z * high + c.across.z * w),
          );
        }
      }
    }
    for (const s of this.train.shafts) {
      for (const x of [z.line.from, z.line.to]) {
        for (const [y, h] of [
          [z.shaft, 0],
          [-z.shaft, 0],
          [0, z.shaft],
          [0, -z.shaft],
        ] as const) {
          out.push(new Vector3(x, s.at.y + y, s.at.z + h));
        }
      }
    }
    return out;
  }

  get triangles(): number {
    let n = 0;
    this.root.traverse((o) => {
      if (!(o instanceof Mesh)) return;
      const g = o.geometry as BufferGeometry;
      n += (g.index ? g.index.count : g.getAttribute("position").count) / 3;
    });
    return n;
  }

  dispose(): void {
    for (const s of this.shapes.values()) {
      s.faces.dispose();
      s.edges.dispose();
    }
    for (const g of this.glows) (g.material as Material).dispose();
    this.glowShape.dispose();
    this.boreShapes.dispose();
    this.body?.dispose();
    this.materials.dispose();
  }
}
