import type { CameraRig, MountedEngine } from "../scene";
import type { View } from "../state/params";

type Library = typeof import("../scene");

/** The three-dimensional engines that stand on the page now, and the library that draws them. */
class Stage {
  #solid = $state(hasWebGl());
  #library: Promise<Library> | undefined;
  #rig: CameraRig | undefined;
  #turns = Promise.resolve();
  readonly #engines = new Map<string, MountedEngine>();
  readonly #views = new WeakMap<CameraRig, View>();

  /** Whether engines are drawn in three dimensions. */
  get solid(): boolean {
    return this.#solid;
  }

  /** The library; it is large and comes after the first view. */
  library(): Promise<Library> {
    this.#library ??= quiet().then(() => import("../scene"));
    return this.#library;
  }

  /** When the next engine may be built: one after the other, so that the page answers in between. */
  turn(): Promise<void> {
    this.#turns = this.#turns.then(() => new Promise((done) => setTimeout(done, 40)));
    return this.#turns;
  }

  /** Drawing in three dimensions does not work here. */
  failed(): void {
    this.#solid = false;
  }

  /** An engine comes; returns how it goes. */
  enter(file: string, engine: MountedEngine): () => void {
    this.#engines.set(file, engine);
    return () => {
      if (this.#engines.get(file) === engine) this.#engines.delete(file);
    };
  }

  /** The engine of a file, if it stands on the page. */
  engine(file: string): MountedEngine | undefined {
    return this.#engines.get(file);
  }

  /** All look from the same side, turned together or each for itself. */
  look(view: View, linked: boolean): void {
    if (view === "flat") return;
    for (const e of this.#engines.values()) {
      if (linked) {
        if (this.#rig === undefined) this.#rig = e.cameraRig;
        else if (e.cameraRig !== this.#rig) e.linkCamera(this.#rig);
      } else if (e.cameraRig === this.#rig) e.linkCamera();
    }
    if (!linked) this.#rig = undefined;
    for (const rig of new Set([...this.#engines.values()].map((e) => e.cameraRig))) {
      if (this.#views.get(rig) === view) continue;
      const known = this.#views.has(rig);
      this.#views.set(rig, view);
      if (view === "free" && !known) continue; // a new rig looks from its home
      rig.setView(view === "free" ? "orbit" : view === "section" ? "side" : view);
    }
  }
}

/** When the page has drawn itself and has nothing else to do. */
function quiet(): Promise<void> {
  return new Promise((done) => {
    requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 300)));
  });
}

function hasWebGl(): boolean {
  if (typeof document === "undefined") return false;
  try {
    return document.createElement("canvas").getContext("webgl2") !== null;
  } catch {
    return false;
  }
}

export const stage = new Stage();
