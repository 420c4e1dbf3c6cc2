import { direction, minus, plus, product, quarter, rad, times, type Plane } from "./plane";
import type { Cylinder, Geometry, Shaft } from "./types";

// The exact motion of docs/notation.md, in metres and in the axes of the block: y to the right and z up
// seen from the drive end. A clockwise engine is the mirror image of what the file says; it is mirrored
// here, once, by changing the sign of every angle and offset, so that nobody else needs to know.

/** Where one cylinder's parts are. */
export interface CylinderPose {
  /** The driving pin, crankpin or knuckle pin [m]. */
  readonly pin: Plane;
  /** The piston pin [m]. */
  readonly piston: Plane;
  /** Unit vector from the driving pin to the piston pin. */
  readonly rod: Plane;
  /** The same direction as an angle from +z about +x [rad]. */
  readonly rodAngle: number;
  /** Piston pin from the crank axis along the cylinder [m]. */
  readonly travel: number;
  /** False where the rod cannot reach; the pose is then the nearest that it could take. */
  readonly reached: boolean;
}

/** What stays where it is of one cylinder. Lengths [m], angles [rad]. */
export interface CylinderPlace {
  readonly name: string;
  readonly index: number;
  readonly bank: number;
  readonly throw: number;
  readonly x: number;
  readonly axis: number;
  /** Unit vector of the cylinder axis, outwards. */
  readonly out: Plane;
  /** Unit vector across it, the axis turned by +90°. */
  readonly across: Plane;
  readonly offset: number;
  readonly boreOffset: number;
  readonly rod: number;
  readonly crown: number;
  readonly master: number;
  readonly knuckle: number;
  readonly knuckleAngle: number;
  readonly firesAtDeg: number;
}

export interface ThrowPlace {
  readonly name: string;
  readonly index: number;
  readonly x: number;
  readonly angle: number;
  readonly radius: number;
  readonly pair: number;
}

export interface ShaftPlace {
  readonly at: Plane;
  readonly ratio: number;
  readonly masses: readonly { x: number; angle: number; unbalance: number }[];
}

/** A crank train that can be asked where its parts are. */
export class Train {
  readonly sense: 1 | -1;
  readonly cycleDeg: number;
  readonly throws: readonly ThrowPlace[];
  readonly cylinders: readonly CylinderPlace[];
  readonly counterweights: readonly {
    x: number;
    angle: number;
    unbalance: number;
    throw: number;
  }[];
  readonly shafts: readonly ShaftPlace[];

  constructor(g: Geometry) {
    const s = (this.sense = g.clockwise ? -1 : 1);
    this.cycleDeg = g.cycle_deg;
    this.throws = g.throws.map((t, index) => ({
      name: t.name,
      index,
      x: t.at_mm / 1000,
      angle: s * rad(t.angle_deg),
      radius: t.radius_mm / 1000,
      pair: t.pair,
    }));
    this.cylinders = g.cylinders.map((c, index) => placeOf(c, index, s));
    this.counterweights = g.counterweights.map((u) => ({ ...unbalanceOf(u, s), throw: u.throw }));
    this.shafts = g.shafts.map((h) => shaftOf(h, s));
  }

  /** How far the crank has turned about +x at a crank angle [rad]. */
  crankTurn(angleDeg: number): number {
    return this.sense * rad(angleDeg);
  }

  /** How far a shaft has turned about +x [rad]. */
  shaftTurn(shaft: number, angleDeg: number): number {
    return this.sense * rad(angleDeg) * (this.shafts[shaft]?.ratio ?? 0);
  }

  /** The crankpin of a throw [m]. */
  crankpin(index: number, angleDeg: number): Plane {
    const t = this.throws[index];
    if (!t) throw new RangeError(`no throw ${index}`);
    return times(direction(t.angle + this.crankTurn(angleDeg)), t.radius);
  }

  /** Where the parts of a cylinder are. */
  pose(index: number, angleDeg: number): CylinderPose {
    const c = this.cylinders[index];
    if (!c) throw new RangeError(`no cylinder ${index}`);
    return drive(this.drivingPin(c, angleDeg), c);
  }

  private drivingPin(c: CylinderPlace, angleDeg: number): Plane {
    const master = c.master < 0 ? undefined : this.cylinders[c.master];
    if (!master) return this.crankpin(c.throw, angleDeg);
    // p + ρ e^{iκ} d, d the direction of the master rod
    const pin = this.crankpin(master.throw, angleDeg);
    const rod = drive(pin, master).rod;
    const turn = { y: Math.cos(c.knuckleAngle), z: Math.sin(c.knuckleAngle) };
    return plus(pin, times(product(rod, turn), c.knuckle));
  }
}

/** s = a + √(l² − b²) with the driving pin at a along the cylinder and b + e across it. */
function drive(pin: Plane, c: CylinderPlace): CylinderPose {
  const a = pin.y * c.out.y + pin.z * c.out.z;
  const b = pin.y * c.across.y + pin.z * c.across.z - c.offset;
  const q = c.rod * c.rod - b * b;
  const travel = a + Math.sqrt(Math.max(0, q));
  const piston = plus(times(c.out, travel), times(c.across, c.offset));
  const rod = times(minus(piston, pin), 1 / c.rod);
  return { pin, piston, rod, rodAngle: Math.atan2(-rod.y, rod.z), travel, reached: q > 0 };
}

function placeOf(c: Cylinder, index: number, s: 1 | -1): CylinderPlace {
  const axis = s * rad(c.axis_deg);
  const out = direction(axis);
  return {
    name: c.name,
    index,
    bank: c.bank,
    throw: c.throw,
    x: c.at_mm / 1000,
    axis,
    out,
    across: quarter(out),
    offset: (s * c.offset_mm) / 1000,
    boreOffset: (s * c.bore_offset_mm) / 1000,
    rod: c.rod_mm / 1000,
    crown: c.crown_mm / 1000,
    master: c.linked ? c.master : -1,
    knuckle: c.knuckle_mm / 1000,
    knuckleAngle: s * rad(c.knuckle_deg),
    firesAtDeg: c.fires_at_deg,
  };
}

function unbalanceOf(u: { at_mm: number; angle_deg: number; unbalance_kgmm: number }, s: 1 | -1) {
  return { x: u.at_mm / 1000, angle: s * rad(u.angle_deg), unbalance: u.unbalance_kgmm / 1000 };
}

function shaftOf(h: Shaft, s: 1 | -1): ShaftPlace {
  return {
    at: { y: (s * h.y_mm) / 1000, z: h.z_mm / 1000 },
    ratio: h.speed_ratio,
    masses: h.masses.map((m) => unbalanceOf(m, s)),
  };
}
