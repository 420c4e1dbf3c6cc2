import {
  BufferTarget,
  canEncodeVideo,
  CanvasSource,
  Mp4OutputFormat,
  Output,
  WebMOutputFormat,
  type VideoCodec,
} from "mediabunny";
import { drawLineUp, type PictureOptions, type Subject } from "./compose";

// A film is drawn frame by frame, not recorded in real time, so that it is smooth on any machine.

export interface FilmOptions extends PictureOptions {
  readonly revolutions: 1 | 2;
  /** Time that one revolution takes in the film [s]. */
  readonly secondsPerRevolution: number;
  readonly framesPerSecond?: number;
  readonly container: "webm" | "mp4";
  readonly signal?: AbortSignal;
  /** Told the share that is done, 0 to 1. */
  readonly onProgress?: (done: number) => void;
}

export interface Film {
  readonly blob: Blob;
  readonly codec: string;
  readonly extension: "webm" | "mp4";
  readonly frames: number;
}

const codecs: Record<FilmOptions["container"], readonly VideoCodec[]> = {
  webm: ["vp9", "vp8", "av1"],
  mp4: ["avc", "hevc", "vp9", "av1"],
};

/** The codec in which this browser can write a film of a kind; null: none. */
export async function codecFor(
  container: FilmOptions["container"],
  width: number,
  height: number,
): Promise<VideoCodec | null> {
  for (const codec of codecs[container]) {
    if (await canEncodeVideo(codec, { width: even(width), height: even(height) })) return codec;
  }
  return null;
}

/** Codecs want even sizes. */
const even = (v: number): number => Math.max(2, 2 * Math.round(v / 2));

/** Frames of a film, and the crank angle of each; the first follows the last without a jump. */
export function filmAngles(
  revolutions: number,
  secondsPerRevolution: number,
  fps: number,
): number[] {
  const n = Math.max(2, Math.round(revolutions * secondsPerRevolution * fps));
  return Array.from({ length: n }, (_, i) => (360 * revolutions * i) / n);
}

/**
 * Films a line-up over one or two revolutions. It loops without a jump; over one revolution of a
 * four-stroke engine only the firings do not, as they repeat after two. Rejects with an AbortError when the
 * signal stops it.
 */
export async function film(subjects: readonly Subject[], options: FilmOptions): Promise<Film> {
  const { container, signal, onProgress, framesPerSecond: fps = 30 } = options;
  const o = { ...options, width: even(options.width), height: even(options.height) };
  const codec = await codecFor(container, o.width, o.height);
  if (!codec) throw new Error(`This browser cannot write ${container} films.`);
  signal?.throwIfAborted();
  const canvas = new OffscreenCanvas(o.width, o.height);
  const g = canvas.getContext("2d", { alpha: false });
  if (!g) throw new Error("no canvas to draw on");
  const target = new BufferTarget();
  const output = new Output({
    format:
      container === "webm"
        ? new WebMOutputFormat()
        : new Mp4OutputFormat({ fastStart: "in-memory" }),
    target,
  });
  // about 0.12 bits per pixel: thin lines stay clean
  const bitrate = Math.round(Math.min(4e7, Math.max(1e6, 0.12 * o.width * o.height * fps)));
  const source = new CanvasSource(canvas, { codec, bitrate, keyFrameInterval: 2 });
  output.addVideoTrack(source, { frameRate: fps });
  await output.start();
  const angles = filmAngles(options.revolutions, options.secondsPerRevolution, fps);
  try {
    for (const [i, angle] of angles.entries()) {
      signal?.throwIfAborted();
      drawLineUp(g, subjects, angle, o);
      await source.add(i / fps, 1 / fps);
      onProgress?.((i + 1) / angles.length);
      await breath();
    }
  } catch (e) {
    await output.cancel();
    throw e;
  }
  await output.finalize();
  if (!target.buffer) throw new Error("the film came out empty");
  const type = container === "webm" ? "video/webm" : "video/mp4";
  return {
    blob: new Blob([target.buffer], { type }),
    codec,
    extension: container,
    frames: angles.length,
  };
}

/** Lets the page answer to its user between two frames. */
const breath = (): Promise<void> => new Promise((done) => setTimeout(done, 0));
