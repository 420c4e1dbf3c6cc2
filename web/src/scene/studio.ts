import {
  BackSide,
  BoxGeometry,
  Mesh,
  MeshBasicMaterial,
  PMREMGenerator,
  Scene,
  type Texture,
  type WebGLRenderer,
} from "three";

/** What polished metal mirrors: a grey room with three soft lights, z up. */
export function studio(renderer: WebGLRenderer): Texture {
  const scene = new Scene();
  const box = new BoxGeometry(1, 1, 1);
  const made: MeshBasicMaterial[] = [];
  const add = (
    size: [number, number, number],
    at: [number, number, number],
    light: number,
    warm = 0,
  ) => {
    const m = new MeshBasicMaterial();
    m.color.setRGB(light * (1 + warm), light, light * (1 - warm));
    made.push(m);
    const mesh = new Mesh(box, m);
    mesh.scale.set(...size);
    mesh.position.set(...at);
    scene.add(mesh);
    return m;
  };
  add([20, 20, 12], [0, 0, 0], 0.78).side = BackSide;
  add([9, 9, 0.2], [0, -2, 5.6], 5.5, 0.01); // overhead
  add([0.2, 8, 5], [-9.4, -4, 1.5], 4.2, 0.03); // from the free end, warm
  add([8, 0.2, 4], [1, -9.4, 1.5], 2.8); // beside
  add([0.2, 4, 7], [9.4, 5, 0.5], 3.2, -0.05); // rim, cool
  add([20, 20, 0.2], [0, 0, -5.9], 0.95); // floor
  const generator = new PMREMGenerator(renderer);
  const texture = generator.fromScene(scene, 0.03).texture;
  generator.dispose();
  box.dispose();
  for (const m of made) m.dispose();
  return texture;
}
