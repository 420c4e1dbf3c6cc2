import { CanvasTexture, Sprite, SpriteMaterial, SRGBColorSpace } from "three";
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
