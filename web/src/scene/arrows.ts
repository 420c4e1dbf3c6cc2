import {
  BackSide,
  BufferGeometry,
  Color,
  ConeGeometry,
  CylinderGeometry,
  GreaterDepth,
  Group,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  Quaternion,
  Vector3,
} from "three";
import { mergeGeometries } from "three/examples/jsm/utils/BufferGeometryUtils.js";

// Thick arrows. Each is drawn twice: as it stands, and weakly where a part hides it, so that no force
// gets lost inside the engine.

const up = new Vector3(0, 0, 1);
const along = new Vector3();
const turn = new Quaternion();

function unitShaft(): BufferGeometry {
  return new CylinderGeometry(1, 1, 1, 16).rotateX(Math.PI / 2).translate(0, 0, 0.5);
}

/** A shaft of six pieces with gaps: what turns against the crank is told by more than its colour. */
function brokenShaft(): BufferGeometry {
  const n = 6;
  const pieces = Array.from({ length: n }, (_, i) =>
    new CylinderGeometry(1, 1, 0.62 / n, 16).rotateX(Math.PI / 2).translate(0, 0, (i + 0.5) / n),
  );
  return mergeGeometries(pieces);
}

/** The shapes that all arrows share. */
export class ArrowShapes {
  readonly whole = unitShaft();
  readonly broken = brokenShaft();
  readonly head = new ConeGeometry(1, 1, 20).rotateX(Math.PI / 2).translate(0, 0, 0.5);

  dispose(): void {
    for (const g of [this.whole, this.broken, this.head]) g.dispose();
  }
}

/** The materials of one colour: in front of parts, behind them, and a rim of paper round it. */
export class ArrowPaint {
  readonly front: MeshLambertMaterial;
  readonly hidden: MeshLambertMaterial;
  readonly rim = new MeshBasicMaterial({
    side: BackSide,
    transparent: true,
    opacity: 0.9,
    toneMapped: false,
  });

  constructor() {
    this.front = new MeshLambertMaterial({ transparent: true });
    this.hidden = new MeshLambertMaterial({
      transparent: true,
      opacity: 0.62,
      depthFunc: GreaterDepth,
      depthWrite: false,
    });
  }

  set(colour: string, paper: string): void {
    this.rim.color = new Color(paper);
    for (const m of [this.front, this.hidden]) {
      m.color = new Color(colour).multiplyScalar(0.3);
      m.emissive = new Color(colour);
      m.emissiveIntensity = 0.8;
    }
  }

  dispose(): void {
    this.front.dispose();
    this.hidden.dispose();
    this.rim.dispose();
  }
}

export class Arrow {
  readonly group = new Group();
  readonly tip = new Vector3();
  length = 0;
  private readonly shafts: Mesh[];
  private readonly heads: Mesh[];

  constructor(
    shapes: ArrowShapes,
    paint: ArrowPaint,
    private readonly thickness: number,
    broken = false,
  ) {
    const shaft = broken ? shapes.broken : shapes.whole;
    const coats = [paint.rim, paint.hidden, paint.front];
    this.shafts = coats.map((m) => new Mesh(shaft, m));
    this.heads = coats.map((m) => new Mesh(shapes.head, m));
    for (const list of [this.shafts, this.heads]) {
      list.forEach((m, i) => (m.renderOrder = 10 + i));
      this.group.add(...list);
    }
  }

  /** Stands the arrow from a point along a vector [m]; one too short to see is left out. */
  set(from: Vector3, vector: Vector3): void {
    const length = vector.length();
    this.length = length;
    this.tip.copy(from).add(vector);
    this.group.visible = length > 1.5 * this.thickness;
    if (!this.group.visible) return;
    const head = Math.min(5 * this.thickness, 0.7 * length);
    const r = this.thickness * Math.min(1, length / (4 * this.thickness));
    this.group.position.copy(from);
    turn.setFromUnitVectors(up, along.copy(vector).divideScalar(length));
    this.group.quaternion.copy(turn);
    const rim = 0.32 * r;
    this.shafts.forEach((s, i) => {
      const w = i === 0 ? r + rim : r;
      s.scale.set(w, w, length - 0.9 * head);
    });
    this.heads.forEach((h, i) => {
      const w = i === 0 ? 2.4 * r + 1.3 * rim : 2.4 * r;
      h.scale.set(w, w, i === 0 ? head + 2.4 * rim : head);
      h.position.z = length - head - (i === 0 ? 0.6 * rim : 0);
    });
  }
}
