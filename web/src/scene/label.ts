import { CanvasTexture, Sprite, SpriteMaterial, SRGBColorSpace, type Vector3 } from "three";
import { paints, type Theme } from "./palette";

const font = '600 44px "Segoe UI", Roboto, "Helvetica Neue", Arial, "Liberation Sans", sans-serif';

/** A short text that always faces the viewer, on a small plate of paper. */
export class Label {
  readonly sprite: Sprite;
  private readonly canvas = document.createElement("canvas");
  private readonly material: SpriteMaterial;
  private wide = 1;

  constructor(
    readonly text: string,
    private readonly plate: boolean,
  ) {
    this.material = new SpriteMaterial({ transparent: true, depthTest: false, depthWrite: false });
    this.sprite = new Sprite(this.material);
    this.sprite.name = `label ${text}`;
    this.sprite.renderOrder = 20;
  }

  /** Draws the text in the colours of a theme. */
  paint(theme: Theme, colour: string): void {
    const p = paints(theme);
    const c = this.canvas.getContext("2d");
    if (!c) return;
    c.font = font;
    const w = Math.ceil(c.measureText(this.text).width) + 36;
    this.canvas.width = w;
    this.canvas.height = 64;
    c.font = font;
    c.textBaseline = "middle";
    c.textAlign = "center";
    c.lineJoin = "round";
    if (this.plate) {
      c.fillStyle = p.paper;
      c.globalAlpha = 0.86;
      c.beginPath();
      c.roundRect(2, 4, w - 4, 56, 16);
      c.fill();
      c.globalAlpha = 1;
    } else {
      c.strokeStyle = p.paper;
      c.lineWidth = 10;
      c.strokeText(this.text, w / 2, 33);
    }
    c.fillStyle = colour;
    c.fillText(this.text, w / 2, 33);
    this.wide = w / 64;
    this.material.map?.dispose();
    const t = new CanvasTexture(this.canvas);
    t.colorSpace = SRGBColorSpace;
    t.anisotropy = 4;
    this.material.map = t;
    this.material.needsUpdate = true;
  }

  /** Gives it a height, and returns its width [m]. */
  size(height: number): number {
    this.sprite.scale.set(height * this.wide, height, 1);
    return height * this.wide;
  }

  dispose(): void {
    this.material.map?.dispose();
    this.material.dispose();
  }
}

/** Sets names that would stand on each other in the picture side by side, in their order. */
export function sideBySide(
  names: readonly { label: Label; home: Vector3 }[],
  height: (at: Vector3) => number,
  right: Vector3,
  up: Vector3,
): void {
  const rows: { x: number; y: number; h: number; names: { label: Label; home: Vector3 }[] }[] = [];
  for (const n of names) {
    const h = height(n.home);
    n.label.size(h);
    const [x, y] = [n.home.dot(right), n.home.dot(up)];
    const row = rows.find((r) => Math.abs(r.x - x) < 0.55 * h && Math.abs(r.y - y) < 0.55 * h);
    if (row) row.names.push(n);
    else rows.push({ x, y, h, names: [n] });
  }
  for (const { h, names: row } of rows) {
    row.forEach(({ label, home }, i) => {
      label.sprite.position.copy(home).addScaledVector(right, 0.8 * h * (i - (row.length - 1) / 2));
    });
  }
}
