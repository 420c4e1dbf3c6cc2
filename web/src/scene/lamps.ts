import { DirectionalLight, HemisphereLight, Vector3, type Box3, type Scene } from "three";

/** Three soft lamps: one from the upper left that throws the shadow, one that fills, one for the rim. */
export class Lamps {
  private readonly key = new DirectionalLight("#fff6ea", 1.7);

  constructor(scene: Scene, fine: boolean) {
    scene.add(new HemisphereLight("#f2f6fa", "#a39b92", 0.7), this.key, this.key.target);
    if (!fine) return;
    const fill = new DirectionalLight("#dfeaf6", 0.5);
    fill.position.set(1, -2, 0.6);
    const rim = new DirectionalLight("#cfe4ff", 0.9);
    rim.position.set(1.4, 2.2, 1.2);
    scene.add(fill, rim);
  }

  shadows(on: boolean): void {
    this.key.castShadow = on;
  }

  /** Makes the shadow cover an engine. */
  cover(room: Box3): void {
    const size = room.getSize(new Vector3()).length();
    const centre = room.getCenter(new Vector3());
    this.key.position.set(-0.55, -0.62, 1.25).multiplyScalar(size).add(centre);
    this.key.target.position.copy(centre);
    const { shadow } = this.key;
    const c = shadow.camera;
    c.left = c.bottom = -0.72 * size;
    c.right = c.top = 0.72 * size;
    c.near = 0.3 * size;
    c.far = 3 * size;
    c.updateProjectionMatrix();
    shadow.mapSize.set(1024, 1024);
    shadow.bias = -0.0004;
    shadow.normalBias = 0.004 * size;
    shadow.radius = 3;
    shadow.intensity = 0.8;
  }

  dispose(): void {
    this.key.shadow.dispose();
  }
}
