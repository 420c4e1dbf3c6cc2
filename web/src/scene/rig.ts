import { Vector3, type PerspectiveCamera } from "three";
import type { View } from "./options";

// One camera rig serves one engine or many: engines on the same rig turn together. Standard views are
// taken from so far away that they show no perspective; the way between views is one movement.

/** What a rig has to keep in the picture. */
export interface Subject {
  points(): readonly Vector3[];
  ask(): void;
}

interface Pose {
  azimuth: number;
  elevation: number;
  /** Logarithm of the opening angle, so that going far away looks even. */
  opening: number;
  /** 1 fills the picture. */
  zoom: number;
  panX: number;
  panY: number;
}

const opening = { near: Math.log(0.34), far: Math.log(0.02) };
const home = { azimuth: (-137 * Math.PI) / 180, elevation: (21 * Math.PI) / 180 };

const poses: Record<View, Pick<Pose, "azimuth" | "elevation" | "opening">> = {
  orbit: { ...home, opening: opening.near },
  "drive-end": { azimuth: 0, elevation: 0, opening: opening.far },
  side: { azimuth: -Math.PI / 2, elevation: 0, opening: opening.far },
  top: { azimuth: -Math.PI / 2, elevation: Math.PI / 2, opening: opening.far },
};

const travelMs = 420;

export class CameraRig {
  view: View = "orbit";
  /** Take the same scale for all engines, so that their sizes compare. */
  commonScale = true;
  reducedMotion = false;
  private readonly subjects = new Set<Subject>();
  private pose: Pose = { ...poses.orbit, zoom: 1, panX: 0, panY: 0 };
  private from: Pose | null = null;
  private to: Pose | null = null;
  private began = 0;

  join(s: Subject): void {
    this.subjects.add(s);
    this.askAll();
  }

  leave(s: Subject): void {
    this.subjects.delete(s);
    this.askAll();
  }

  askAll(): void {
    for (const s of this.subjects) s.ask();
  }

  setView(view: View): void {
    this.view = view;
    const to = { ...poses[view], zoom: 1, panX: 0, panY: 0 };
    // the short way round
    const turns = Math.round((this.pose.azimuth - to.azimuth) / (2 * Math.PI));
    to.azimuth += turns * 2 * Math.PI;
    if (this.reducedMotion) this.pose = to;
    else {
      this.from = { ...this.pose };
      this.to = to;
      this.began = 0;
    }
    this.askAll();
  }

  /** Turns by a hand's movement [rad]; leaves the standard views. */
  turn(azimuth: number, elevation: number): void {
    this.stop();
    this.view = "orbit";
    const p = this.pose;
    p.opening = opening.near;
    p.azimuth += azimuth;
    p.elevation = Math.max(-1.5, Math.min(1.5, p.elevation + elevation));
    this.askAll();
  }

  zoomBy(factor: number): void {
    this.stop();
    this.pose.zoom = Math.max(0.3, Math.min(12, this.pose.zoom * factor));
    this.askAll();
  }

  /** Shifts the picture by shares of its height. */
  pan(x: number, y: number): void {
    this.stop();
    this.pose.panX -= x / this.pose.zoom;
    this.pose.panY += y / this.pose.zoom;
    this.askAll();
  }

  private stop(): void {
    if (this.to) this.pose = { ...this.pose, opening: this.to.opening };
    this.from = this.to = null;
  }

  /** Moves on to a time; true while it is on its way. */
  private tick(now: number): boolean {
    if (!this.from || !this.to) return false;
    this.began ||= now;
    const t = Math.min(1, (now - this.began) / travelMs);
    const e = t < 0.5 ? 4 * t ** 3 : 1 - (-2 * t + 2) ** 3 / 2;
    const { from, to } = this;
    const mix = (k: keyof Pose) => from[k] + (to[k] - from[k]) * e;
    this.pose = {
      azimuth: mix("azimuth"),
      elevation: mix("elevation"),
      opening: mix("opening"),
      zoom: mix("zoom"),
      panX: mix("panX"),
      panY: mix("panY"),
    };
    if (t < 1) return true;
    this.from = this.to = null;
    return false;
  }

  /** How much of the perspective is there: 1 in the orbit view, 0 in the standard views. */
  get depth(): number {
    return (this.pose.opening - opening.far) / (opening.near - opening.far);
  }

  /** Places a camera for a subject; true while the rig is still moving. */
  place(camera: PerspectiveCamera, subject: Subject, aspect: number, now: number): boolean {
    const moving = this.tick(now);
    const p = this.pose;
    const half = Math.exp(p.opening) / 2;
    const own = fit(subject.points(), p, half, aspect);
    let distance = own.distance;
    if (this.commonScale) {
      for (const s of this.subjects) {
        if (s !== subject) distance = Math.max(distance, fit(s.points(), p, half, aspect).distance);
      }
    }
    const { out, up, right } = axes(p);
    const high = 2 * distance * Math.tan(half);
    const target = own.centre
      .clone()
      .addScaledVector(right, p.panX * high)
      .addScaledVector(up, p.panY * high);
    camera.fov = (2 * Math.atan(Math.tan(half) / p.zoom) * 180) / Math.PI;
    camera.aspect = aspect;
    camera.near = Math.max(distance * 0.02, distance - 3 * own.radius);
    camera.far = distance + 4 * own.radius;
    camera.position.copy(target).addScaledVector(out, distance);
    camera.up.copy(up);
    camera.lookAt(target);
    camera.updateProjectionMatrix();
    return moving;
  }

  /** Unit vector from the engine to the viewer. */
  get viewer(): Vector3 {
    return axes(this.pose).out;
  }
}

function axes(p: Pick<Pose, "azimuth" | "elevation">): {
  out: Vector3;
  up: Vector3;
  right: Vector3;
} {
  const [ca, sa, ce, se] = [
    Math.cos(p.azimuth),
    Math.sin(p.azimuth),
    Math.cos(p.elevation),
    Math.sin(p.elevation),
  ];
  const out = new Vector3(ce * ca, ce * sa, se);
  const up = new Vector3(-se * ca, -se * sa, ce);
  return { out, up, right: new Vector3().crossVectors(up, out) };
}

const margin = 1.07;

/** The distance from which all points are seen. In the orbit view it is that of the home direction, so that turning does not zoom. */
function fit(
  points: readonly Vector3[],
  p: Pose,
  half: number,
  aspect: number,
): { centre: Vector3; distance: number; radius: number } {
  const low = new Vector3(Infinity, Infinity, Infinity);
  const high = low.clone().negate();
  for (const q of points) {
    low.min(q);
    high.max(q);
  }
  const centre = low.clone().add(high).multiplyScalar(0.5);
  const nearness = (p.opening - opening.far) / (opening.near - opening.far);
  const seen = nearness > 0.98 ? axes(home) : axes(p);
  const tan = Math.tan(half) / margin;
  const d = new Vector3();
  // what is seen goes into the middle, not what there is
  for (const axis of [seen.right, seen.up]) {
    let [least, most] = [Infinity, -Infinity];
    for (const q of points) {
      const v = d.subVectors(q, centre).dot(axis);
      least = Math.min(least, v);
      most = Math.max(most, v);
    }
    centre.addScaledVector(axis, (least + most) / 2);
  }
  let distance = 0;
  let radius = 0;
  for (const q of points) {
    d.subVectors(q, centre);
    radius = Math.max(radius, d.length());
    const x = Math.abs(d.dot(seen.right)) / (tan * aspect);
    const y = Math.abs(d.dot(seen.up)) / tan;
    distance = Math.max(distance, Math.max(x, y) + d.dot(seen.out));
  }
  return { centre, distance: Math.max(distance, 1.2 * radius), radius };
}
