import { Box3, Group, PerspectiveCamera, Scene, Vector3 } from "three";
import { blockOf, exaggerated, vibration, type Block, type Geometry, type Result } from "../kin";
import { describe } from "./describe";
import { Floor } from "./floor";
import { Forces } from "./forces";
import { takeHands } from "./hands";
import { Label, sideBySide } from "./label";
import { Lamps } from "./lamps";
import { EngineModel } from "./model";
import { changed, plainOptions, type OptionChange, type SceneOptions } from "./options";
import { paints, type Theme } from "./palette";
import { reach } from "./reach";
import { CameraRig, type Subject } from "./rig";
import { fineDetail, plainDetail } from "./solid";
import { theStage, type Act, type Stage } from "./stage";

/** Width of a picture from which arrows carry words [CSS px]. */
const wordsFrom = 240;

/** An engine on a canvas. Build it with mountEngine. */
export class MountedEngine implements Act, Subject {
  private model!: EngineModel;
  private forces!: Forces;
  private floor!: Floor;
  private block!: Block;
  private names: { label: Label; home: Vector3 }[] = [];
  private readonly stage: Stage;
  private readonly scene = new Scene();
  private readonly pivot = new Group();
  private readonly camera = new PerspectiveCamera();
  private readonly lamps: Lamps;
  private readonly letGo: () => void;
  private readonly watch: ResizeObserver;
  private rig: CameraRig;
  private options: SceneOptions;
  private angle = 0;
  private outline: Vector3[] = [];
  private gone = false;
  private stale = false;
  private built = 0;

  constructor(
    readonly canvas: HTMLCanvasElement,
    private geometry: Geometry,
    private result: Result,
    change: OptionChange,
    rig?: CameraRig,
  ) {
    this.stage = theStage();
    this.options = changed(plainOptions, change);
    this.rig = rig ?? new CameraRig();
    this.scene.add(this.pivot);
    this.lamps = new Lamps(this.scene, this.fine);
    this.build();
    this.letGo = takeHands(canvas, () => this.rig);
    this.watch = new ResizeObserver(() => this.resize());
    this.watch.observe(canvas);
    this.resize();
    this.stage.add(this);
    this.rig.join(this);
  }

  private build(): void {
    this.stale = false;
    const { crank, body } = this.options;
    this.model = new EngineModel(this.geometry, this.fine ? fineDetail : plainDetail, crank, body);
    this.block = blockOf(this.geometry);
    const z = this.model.sizes;
    this.forces = new Forces(this.model.train, z, this.result, 0.052 * z.bore);
    this.pivot.add(this.model.root, this.forces.group);
    const room = new Box3().setFromPoints(this.model.outline());
    this.floor = new Floor(room, 0.22 * z.bore);
    this.scene.add(this.floor.group);
    this.names = this.model.train.cylinders.map((c) => {
      const label = new Label(c.name, false);
      this.model.root.add(label.sprite);
      return { label, home: this.model.nameplace(c) };
    });
    this.lamps.cover(room);
    this.describe();
    this.applyOptions();
  }

  private takeDown(): void {
    this.pivot.clear();
    this.scene.remove(this.floor.group);
    for (const n of this.names) n.label.dispose();
    this.forces.dispose();
    this.floor.dispose();
    this.model.dispose();
  }

  /** Another engine, or the same one changed, in the same picture. */
  update(geometry: Geometry, result: Result): void {
    const same = JSON.stringify(geometry) === JSON.stringify(this.geometry);
    this.geometry = geometry;
    this.result = result;
    if (same && !this.stale) {
      this.forces.setResult(result);
      this.measure();
      this.describe();
      this.rig.askAll();
      return;
    }
    this.stale = true;
    this.ask();
  }

  /** Builds anew what has changed, not more often than a hand that drags can use; true while some is left. */
  private catchUp(now: number): boolean {
    if (!this.stale) return false;
    if (now - this.built < 120) return true;
    this.takeDown();
    this.build();
    this.built = performance.now();
    this.rig.askAll();
    return false;
  }

  /** Turns the crank to an angle [deg]. */
  setAngle(deg: number): void {
    if (deg === this.angle) return;
    this.angle = deg;
    this.ask();
  }

  setOptions(change: OptionChange): void {
    const shape = (o: SceneOptions): string => JSON.stringify([o.crank, o.body]);
    const before = shape(this.options);
    this.options = changed(this.options, change);
    if (shape(this.options) !== before) this.stale = true;
    this.applyOptions();
    this.ask();
  }

  setTheme(theme: Theme): void {
    this.setOptions({ theme });
  }

  /** Puts the engine on a rig that others may share; without one it gets its own. */
  linkCamera(rig: CameraRig = new CameraRig()): CameraRig {
    this.rig.leave(this);
    this.rig = rig;
    this.rig.reducedMotion = this.options.reducedMotion;
    rig.join(this);
    return rig;
  }

  get cameraRig(): CameraRig {
    return this.rig;
  }

  /** What of the drawing is not what the numbers say. */
  get notes(): readonly string[] {
    const notes = [...this.model.notes];
    if (this.options.vibration > 0) {
      notes.push(
        `Movement of the block ${this.options.vibration} times too large; ${this.block.assumption}.`,
      );
    }
    return notes;
  }

  get triangles(): number {
    return this.model.triangles;
  }

  private get fine(): boolean {
    const q = this.options.quality;
    return q === "high" || (q === "auto" && !this.stage.software);
  }

  private applyOptions(): void {
    const o = this.options;
    this.model.setTheme(o.theme);
    this.model.setBores(o.bores);
    this.floor.setTheme(o.theme);
    this.forces.setTheme(o);
    this.scene.environment = this.fine ? this.stage.environment : null;
    this.scene.environmentIntensity = o.theme === "dark" ? 0.5 : 0.66;
    this.lamps.shadows(this.fine);
    this.rig.reducedMotion = o.reducedMotion;
    const p = paints(o.theme);
    for (const { label } of this.names) {
      label.paint(o.theme, p.ink);
      label.sprite.visible = o.labels;
    }
    this.measure();
    this.resize();
  }

  private measure(): void {
    this.outline = reach(this.model, this.forces, this.result, this.options);
  }

  points(): readonly Vector3[] {
    return this.outline;
  }

  ask(): void {
    this.stage.ask(this);
  }

  graphics(there: boolean): void {
    // what the lost context held is let go while it is lost, and made again for the new one
    this.takeDown();
    if (there) this.build();
  }

  resize(): void {
    if (this.gone) return;
    const w = Math.round(this.canvas.clientWidth * this.ratio);
    const h = Math.round(this.canvas.clientHeight * this.ratio);
    if (w === this.canvas.width && h === this.canvas.height) return;
    this.canvas.width = w;
    this.canvas.height = h;
    this.rig.askAll();
    this.ask();
  }

  draw(stage: Stage, width: number, height: number, now: number, oversample: number): boolean {
    const behind = this.catchUp(now);
    stage.room(width, height);
    return this.drawAt(stage, width, height, this.angle, now, oversample) || behind;
  }

  private get ratio(): number {
    return this.fine ? Math.min(2, devicePixelRatio) : 1;
  }

  private drawAt(
    stage: Stage,
    width: number,
    height: number,
    deg: number,
    now: number,
    oversample: number,
  ): boolean {
    const o = this.options;
    const ratio = this.ratio * oversample;
    const { model, rig } = this;
    const moving = rig.place(this.camera, this, width / height, now);
    const far = this.camera.position.distanceTo(this.pivot.position);
    const high = 2 * far * Math.tan((this.camera.fov * Math.PI) / 360);
    model.setScale((model.sizes.bore * height) / high / ratio);
    model.setAngle(deg);
    model.setFlashes(o.flashes ? deg : null, o.reducedMotion);
    // the flywheel would hide the engine from the drive end
    if (model.flywheel) model.flywheel.visible = o.flywheel && rig.viewer.x < 0.55;
    model.faceBores(rig.viewer);
    // In a narrow picture words would cover what they name; the legend beside it has them.
    this.forces.update(deg, width / ratio < wordsFrom ? { ...o, labels: false } : o);
    this.shake(deg);
    this.words(height, ratio);
    const below = rig.viewer.z < 0 ? 0 : 1;
    this.floor.show(below * Math.max(0, 2 * rig.depth - 1), this.fine);
    stage.renderer.render(this.scene, this.camera);
    return moving;
  }

  /** Words keep their size on the screen, whatever the distance. */
  private words(height: number, ratio: number): void {
    if (!this.options.labels) return;
    const pixels = Math.max(15 * ratio, Math.min(0.045 * height, 27 * ratio));
    const perPixel = (2 * Math.tan((this.camera.fov * Math.PI) / 360)) / height;
    const tall = (at: Vector3) => pixels * perPixel * at.distanceTo(this.camera.position);
    const right = new Vector3(1, 0, 0).applyQuaternion(this.camera.quaternion);
    const up = new Vector3(0, 1, 0).applyQuaternion(this.camera.quaternion);
    sideBySide(this.names, tall, right, up);
    this.forces.spread(tall, right, up);
  }

  private shake(deg: number): void {
    const o = this.options;
    const x = this.result.balance.reference_mm / 1000;
    const m = exaggerated(vibration(this.result, this.block, deg, o.orders), o.vibration);
    this.pivot.rotation.set(...(o.vibration > 0 ? m.turn : ([0, 0, 0] as const)));
    const back = new Vector3(-x, 0, 0).applyEuler(this.pivot.rotation);
    this.pivot.position.set(x, 0, 0).add(back);
    if (o.vibration > 0) this.pivot.position.add(new Vector3(0, m.shift.y, m.shift.z));
  }

  /** Draws the engine at an angle and any size into another canvas, for films and pictures. */
  paint(
    to: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D,
    at: { x: number; y: number; width: number; height: number },
    deg = this.angle,
  ): void {
    const w = Math.round(at.width);
    const h = Math.round(at.height);
    this.catchUp(Infinity);
    const k = this.stage.oversample;
    this.stage.room(k * w, k * h);
    this.drawAt(this.stage, k * w, k * h, deg, performance.now(), k);
    this.stage.copy(to, at.x, at.y, w, h, k);
  }

  /** A picture of the canvas as it stands, twice as fine, on the theme's paper. */
  async snapshot(type: "image/png" | "image/webp" = "image/png", scale = 2): Promise<Blob> {
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(this.canvas.clientWidth * scale));
    canvas.height = Math.max(1, Math.round(this.canvas.clientHeight * scale));
    const c = canvas.getContext("2d");
    if (!c) throw new Error("no canvas to draw on");
    c.fillStyle = paints(this.options.theme).paper;
    c.fillRect(0, 0, canvas.width, canvas.height);
    this.paint(c, { x: 0, y: 0, width: canvas.width, height: canvas.height });
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, type));
    if (!blob) throw new Error("the browser could not write the picture");
    return blob;
  }

  /** The engine as binary glTF at the present angle, with two revolutions to play. */
  async gltf(): Promise<Blob> {
    const { engineGlb } = await import("../export/gltf");
    const data = await engineGlb(this.geometry, { name: this.result.name, angleDeg: this.angle });
    return new Blob([data], { type: "model/gltf-binary" });
  }

  private describe(): void {
    this.canvas.setAttribute("role", "img");
    this.canvas.setAttribute("aria-label", describe(this.geometry, this.result, this.notes));
    if (!this.canvas.hasAttribute("tabindex")) this.canvas.tabIndex = 0;
  }

  dispose(): void {
    this.gone = true;
    this.letGo();
    this.watch.disconnect();
    this.rig.leave(this);
    this.stage.remove(this);
    this.takeDown();
    this.lamps.dispose();
  }
}

/** Puts an engine on a canvas. Throws NoGraphics where the browser has no WebGL 2. */
export function mountEngine(
  canvas: HTMLCanvasElement,
  geometry: Geometry,
  result: Result,
  options: OptionChange = {},
  rig?: CameraRig,
): MountedEngine {
  return new MountedEngine(canvas, geometry, result, options, rig);
}
