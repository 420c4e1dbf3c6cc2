import type { Pixels } from "./painter";

/** Puts pixels onto a canvas. */
export function put(pixels: Pixels | undefined) {
  return (canvas: HTMLCanvasElement) => {
    if (!pixels) {
      canvas.width = canvas.height = 1;
      return;
    }
    if (canvas.width !== pixels.width || canvas.height !== pixels.height) {
      canvas.width = pixels.width;
      canvas.height = pixels.height;
    }
    canvas
      .getContext("2d")
      ?.putImageData(new ImageData(pixels.data, pixels.width, pixels.height), 0, 0);
  };
}
