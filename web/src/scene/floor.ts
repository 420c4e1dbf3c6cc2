import {
  Color,
  Group,
  Mesh,
  PlaneGeometry,
  ShaderMaterial,
  ShadowMaterial,
  type Box3,
} from "three";
import type { Theme } from "./palette";

/** The ground below an engine: a soft dark patch, and the shadow of the lamp where quality allows. */
export class Floor {
  readonly group = new Group();
  private readonly patch: Mesh<PlaneGeometry, ShaderMaterial>;
  private readonly shade: Mesh<PlaneGeometry, ShadowMaterial>;
  private theme: Theme = "light";

  constructor(room: Box3, gap: number) {
    const wide = { x: room.max.x - room.min.x, y: room.max.y - room.min.y };
    this.patch = new Mesh(new PlaneGeometry(2, 2), softPatch());
    this.patch.scale.set(0.78 * wide.x, 0.95 * wide.y, 1);
    this.shade = new Mesh(
      new PlaneGeometry(1, 1),
      new ShadowMaterial({ depthWrite: false, dithering: true }),
    );
    this.shade.scale.set(5 * wide.x, 7 * wide.y, 1);
    this.shade.receiveShadow = true;
    this.shade.renderOrder = -1;
    this.patch.renderOrder = -2;
    this.group.position.set(
      (room.min.x + room.max.x) / 2,
      (room.min.y + room.max.y) / 2,
      room.min.z - gap,
    );
    this.group.add(this.patch, this.shade);
  }

  setTheme(theme: Theme): void {
    this.theme = theme;
    this.patch.material.uniforms["colour"] = {
      value: new Color(theme === "dark" ? "#000000" : "#28384a"),
    };
    this.shade.material.color = new Color(theme === "dark" ? "#000000" : "#1c2b3a");
  }

  /** How much of it is seen: all in the orbit view, nothing in flat views or from below. */
  show(amount: number, shadows: boolean): void {
    this.group.visible = amount > 0.02;
    const dark = this.theme === "dark";
    this.patch.material.uniforms["strength"] = {
      value: amount * (dark ? 0.6 : shadows ? 0.13 : 0.19),
    };
    this.shade.visible = shadows;
    this.shade.material.opacity = amount * (dark ? 0.45 : 0.14);
  }

  dispose(): void {
    for (const m of [this.patch, this.shade]) {
      m.geometry.dispose();
      m.material.dispose();
    }
  }
}

/** Dark in the middle, fading to nothing; a little noise keeps the fading from showing steps. */
function softPatch(): ShaderMaterial {
  return new ShaderMaterial({
    transparent: true,
    depthWrite: false,
    uniforms: { colour: { value: new Color() }, strength: { value: 0 } },
    vertexShader: `
      varying vec2 at;
      void main() {
        at = position.xy;
        gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
      }`,
    fragmentShader: `
      uniform vec3 colour;
      uniform float strength;
      varying vec2 at;
      void main() {
        float fade = 0.5 + 0.5 * cos(3.14159265 * min(1.0, length(at)));
        float noise = fract(sin(dot(gl_FragCoord.xy, vec2(12.9898, 78.233))) * 43758.5453) - 0.5;
        float a = strength * fade * fade;
        gl_FragColor = vec4(colour, max(0.0, a + noise * 0.012 * step(0.002, a)));
      }`,
  });
}
