import {
  Color,
  DoubleSide,
  LineBasicMaterial,
  MeshBasicMaterial,
  MeshMatcapMaterial,
  MeshStandardMaterial,
  type Texture,
} from "three";
import { matcap } from "./matcap";
import { finish, paints, type Theme } from "./palette";

type Metal = MeshStandardMaterial | MeshMatcapMaterial;
type Glass = MeshStandardMaterial | MeshBasicMaterial;

/** One set of materials for an engine; part colours are in the vertices. */
export class Materials {
  readonly crank: Metal;
  readonly rod: Metal;
  readonly piston: Metal;
  readonly shaft: Metal;
  readonly flywheel: Metal;
  readonly cut: Metal;
  readonly glass: Glass;
  readonly edge = new LineBasicMaterial({ transparent: true, opacity: 0.5 });
  readonly rim = new LineBasicMaterial({ transparent: true, opacity: 0.5 });

  private readonly ball: Texture | null;
  private full = { edge: 0.5, rim: 0.55 };

  constructor(fine: boolean) {
    const ball = fine ? null : matcap();
    const metal = (name: string, metalness: number, roughness: number): Metal =>
      ball
        ? new MeshMatcapMaterial({ name, vertexColors: true, matcap: ball })
        : new MeshStandardMaterial({ name, vertexColors: true, metalness, roughness });
    this.ball = ball;
    this.crank = metal("crank steel", 0.55, 0.36);
    this.rod = metal("rod steel", 0.5, 0.42);
    this.piston = metal("piston alloy", 0.35, 0.45);
    this.shaft = metal("balance shaft", 0.45, 0.4);
    this.flywheel = metal("flywheel", 0.55, 0.42);
    this.cut = metal("cylinder, cut", 0.1, 0.6);
    const glass = { name: "cylinder", transparent: true, depthWrite: false } as const;
    this.glass = fine
      ? new MeshStandardMaterial({ ...glass, roughness: 0.15, metalness: 0 })
      : new MeshBasicMaterial(glass);

    this.cut.side = DoubleSide;
    for (const m of [this.crank, this.rod, this.piston, this.shaft, this.flywheel, this.cut]) {
      m.polygonOffset = true; // so that the thin lines lie on top
      m.polygonOffsetFactor = 1;
      m.polygonOffsetUnits = 1;
    }
  }

  setTheme(theme: Theme): void {
    const p = paints(theme);
    const isDark = theme === "dark";
    this.edge.color = new Color(isDark ? "#05080b" : p.ink);
    this.full = isDark ? { edge: 0.75, rim: 0.65 } : { edge: 0.5, rim: 0.55 };
    this.rim.color = new Color(p.soft);
    this.glass.color = new Color(isDark ? "#9db4c8" : finish.sleeve);
    this.glass.opacity = isDark ? 0.1 : 0.13;
  }

  setScale(pixelsPerBore: number): void {
    const share = Math.max(0.25, Math.min(1, pixelsPerBore / 90));
    this.edge.opacity = this.full.edge * share;
    this.rim.opacity = this.full.rim * Math.max(0.5, share);
  }

  /** A glow of its own for one cylinder. */
  flash(): MeshBasicMaterial {
    return new MeshBasicMaterial({
      name: "firing",
      color: finish.fire,
      transparent: true,
      opacity: 0,
      depthWrite: false,
      toneMapped: false,
    });
  }

  dispose(): void {
    for (const m of [this.crank, this.rod, this.piston, this.shaft, this.flywheel, this.cut])
      m.dispose();
    for (const m of [this.glass, this.edge, this.rim]) m.dispose();
    this.ball?.dispose();
  }
}
