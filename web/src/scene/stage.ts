import {
  NeutralToneMapping,
  PCFShadowMap,
  SRGBColorSpace,
  WebGLRenderer,
  type Texture,
} from "three";
import { studio } from "./studio";

// One renderer for every engine on the page: browsers allow few WebGL contexts, and one context keeps
// one set of shaders. Each engine is drawn into the renderer's own canvas and copied from there to the
// canvas that the page shows, all in one animation frame, so that engines stay in step. Nothing is drawn
// unless somebody asks.

/** Something that the stage draws. */
export interface Act {
  readonly canvas: HTMLCanvasElement;
  /** Sets the scene up for a frame and renders it; true where it wants another frame. */
  draw(stage: Stage, width: number, height: number, now: number, oversample: number): boolean;
  /** Told when the graphics went away (false) and came back (true). */
  graphics(there: boolean): void;
}

export class NoGraphics extends Error {
  override readonly name = "NoGraphics";
}

export interface Figures {
  /** Frames drawn since the page was opened. */
  frames: number;
  /** Time that the last frame took, all engines together [ms]. */
  lastMs: number;
  readonly software: boolean;
}

export class Stage {
  readonly renderer: WebGLRenderer;
  readonly canvas: HTMLCanvasElement;
  readonly software: boolean;
  readonly figures: Figures;
  private mirrored: Texture | null = null;
  private readonly asked = new Set<Act>();
  /** Those that are at rest and are drawn finely, where smooth edges are too dear in motion. */
  private readonly atRest = new Set<Act>();
  private readonly timers = new Map<Act, number>();
  private readonly acts = new Set<Act>();
  private frame = 0;
  private lost = false;

  constructor() {
    this.canvas = document.createElement("canvas");
    this.software = probe();
    try {
      this.renderer = new WebGLRenderer({
        canvas: this.canvas,
        antialias: !this.software,
        alpha: true,
        powerPreference: "high-performance",
      });
    } catch (cause) {
      throw new NoGraphics("This browser gives no WebGL 2.", { cause });
    }
    const r = this.renderer;
    r.outputColorSpace = SRGBColorSpace;
    r.toneMapping = NeutralToneMapping;
    r.toneMappingExposure = 1;
    r.setClearColor(0x000000, 0);
    r.shadowMap.enabled = true;
    r.shadowMap.type = PCFShadowMap;
    r.info.autoReset = true;
    this.figures = { frames: 0, lastMs: 0, software: this.software };
    this.canvas.addEventListener("webglcontextlost", (e) => {
      e.preventDefault(); // or it never comes back
      this.lost = true;
      for (const a of this.acts) a.graphics(false);
    });
    this.canvas.addEventListener("webglcontextrestored", () => {
      this.lost = false;
      this.mirrored = null;
      for (const a of this.acts) {
        a.graphics(true);
        this.ask(a);
      }
    });
  }

  /** What polished metal mirrors; made when first asked for, as software takes seconds for it. */
  get environment(): Texture {
    return (this.mirrored ??= studio(this.renderer));
  }

  add(act: Act): void {
    this.acts.add(act);
    this.ask(act);
  }

  remove(act: Act): void {
    clearTimeout(this.timers.get(act));
    this.timers.delete(act);
    this.atRest.delete(act);
    this.acts.delete(act);
    this.asked.delete(act);
  }

  /** Asks for a frame; asking twice draws once. */
  ask(act: Act): void {
    this.atRest.delete(act);
    this.want(act);
  }

  private want(act: Act): void {
    if (!this.acts.has(act)) return;
    this.asked.add(act);
    this.frame ||= requestAnimationFrame((now) => this.drawAsked(now));
  }

  private drawAsked(now: number): void {
    this.frame = 0;
    if (this.lost) return;
    const list = [...this.asked];
    this.asked.clear();
    const began = performance.now();
    for (const act of list) {
      const { width, height } = act.canvas;
      if (width === 0 || height === 0) continue;
      const c = act.canvas.getContext("2d");
      if (!c) continue;
      const fine = this.atRest.delete(act);
      const k = fine ? this.oversample : 1;
      this.room(k * width, k * height);
      const again = act.draw(this, k * width, k * height, now, k);
      c.clearRect(0, 0, width, height);
      this.copy(c, 0, 0, width, height, k);
      if (again) this.ask(act);
      else if (!fine && this.oversample > 1) this.settle(act);
    }
    this.figures.frames++;
    this.figures.lastMs = performance.now() - began;
  }

  /** Draws once more, finely, when nothing has moved for a moment. */
  private settle(act: Act): void {
    clearTimeout(this.timers.get(act));
    const timer = window.setTimeout(() => {
      if (this.asked.has(act)) return;
      this.atRest.add(act);
      this.want(act);
    }, 300);
    this.timers.set(act, timer);
  }

  /** How many times larger a picture is drawn that has to have smooth edges. */
  get oversample(): number {
    return this.software ? 2 : 1;
  }

  /** Makes the renderer's canvas large enough and sets the viewport to its lower left corner. */
  room(width: number, height: number): void {
    const w = Math.max(width, this.canvas.width);
    const h = Math.max(height, this.canvas.height);
    if (w !== this.canvas.width || h !== this.canvas.height) this.renderer.setSize(w, h, false);
    this.renderer.setViewport(0, 0, width, height);
    this.renderer.setScissor(0, 0, width, height);
    this.renderer.setScissorTest(true);
  }

  /** Copies what was drawn last; must follow the drawing at once. */
  copy(
    to: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D,
    x: number,
    y: number,
    width: number,
    height: number,
    k = 1,
  ): void {
    const [w, h] = [k * width, k * height];
    to.drawImage(this.canvas, 0, this.canvas.height - h, w, h, x, y, width, height);
  }
}

/** Whether WebGL is computed rather than drawn; asked of a context of its own, as smoothing is settled at birth. */
function probe(): boolean {
  const gl = document.createElement("canvas").getContext("webgl2");
  if (!gl) throw new NoGraphics("This browser gives no WebGL 2.");
  const software = isSoftware(gl);
  gl.getExtension("WEBGL_lose_context")?.loseContext();
  return software;
}

function isSoftware(gl: WebGL2RenderingContext): boolean {
  const info = gl.getExtension("WEBGL_debug_renderer_info");
  const name = String(gl.getParameter(info ? info.UNMASKED_RENDERER_WEBGL : gl.RENDERER));
  return /swiftshader|llvmpipe|software|basic render/i.test(name);
}

let only: Stage | null = null;

/** The one stage of the page; NoGraphics where there is no WebGL 2. */
export function theStage(): Stage {
  return (only ??= new Stage());
}
