// A page to look at the scene with: dev/scene.html?e=vee-eight,inline-four&theme=dark&view=side&a=30
import { codecFor, film, lineUpPng } from "../src/export";
import type { Geometry, Result } from "../src/kin";
import { CameraRig, commonScale, mountEngine, theStage, type View } from "../src/scene";

interface Fixture {
  geometry: Geometry;
  document: Result;
}
const files = import.meta.glob<Fixture>("../tests/unit/vectors/*.json", {
  eager: true,
  import: "default",
});
const all = new Map(Object.entries(files).map(([p, f]) => [p.replace(/.*\/|\.json$/g, ""), f]));
const q = new URLSearchParams(location.search);
const names = (q.get("e") ?? "vee-eight").split(",");
const theme = q.get("theme") === "dark" ? "dark" : "light";
const flags = new Set((q.get("f") ?? "resultant,couple,trace,labels,flashes,flywheel").split(","));
document.body.dataset.theme = theme;
document.body.style.gridTemplateColumns = `repeat(${q.get("cols") ?? names.length}, 1fr)`;
const rig = new CameraRig();
rig.reducedMotion = true;
rig.commonScale = q.get("scale") !== "own";
const chosen = names.map((n) => all.get(n)).filter((f) => f !== undefined);
const orders = q.get("orders")?.split(",").map(Number) ?? ("all" as const);
const metresPerNewton = q.has("mpn")
  ? Number(q.get("mpn"))
  : commonScale(chosen, orders, flags.has("pistons") || flags.has("crank"));
const began = performance.now();
const mounted = chosen.map((f) => {
  const figure = document.createElement("figure");
  const canvas = document.createElement("canvas");
  const caption = document.createElement("figcaption");
  caption.textContent = f.document.name;
  figure.append(canvas, caption);
  document.body.append(figure);
  const m = mountEngine(
    canvas,
    f.geometry,
    f.document,
    {
      theme,
      metresPerNewton,
      orders,
      bores: flags.has("section") ? "section" : flags.has("nobores") ? "off" : "glass",
      arrows: {
        resultant: flags.has("resultant"),
        couple: flags.has("couple"),
        parts: flags.has("parts"),
        pistons: flags.has("pistons"),
        crankMasses: flags.has("crank"),
        shafts: flags.has("shafts"),
      },
      trace: flags.has("trace"),
      labels: flags.has("labels"),
      flashes: flags.has("flashes"),
      flywheel: flags.has("flywheel"),
      vibration: Number(q.get("vib") ?? 0),
      quality: q.get("q") === "high" ? "high" : q.get("q") === "low" ? "low" : "auto",
    },
    rig,
  );
  m.setAngle(Number(q.get("a") ?? 20));
  return m;
});
const mountMs = performance.now() - began;
rig.setView((q.get("view") ?? "orbit") as View);
const turn = q.get("turn")?.split(",").map(Number);
if (turn) rig.turn(turn[0] ?? 0, turn[1] ?? 0);
if (q.has("zoom")) rig.zoomBy(Number(q.get("zoom")));

/** Plays for a while and tells how fast. */
async function measure(ms = 3000): Promise<Record<string, number | boolean>> {
  const s = theStage();
  const start = performance.now();
  const first = s.figures.frames;
  let a = 0;
  let busy = 0;
  await new Promise<void>((done) => {
    const step = () => {
      a += 3;
      for (const m of mounted) m.setAngle(a);
      busy += s.figures.lastMs;
      if (performance.now() - start < ms) requestAnimationFrame(step);
      else done();
    };
    step();
  });
  const took = performance.now() - start;
  const frames = s.figures.frames - first;
  return {
    fps: (frames * 1000) / took,
    scriptMs: busy / Math.max(1, frames),
    mountMs,
    triangles: mounted.reduce((n, m) => n + m.triangles, 0),
    calls: s.renderer.info.render.calls,
    software: s.software,
  };
}
const subjects = mounted.map((engine, i) => ({ title: chosen[i]?.document.name ?? "", engine }));
const picture = {
  width: Number(q.get("w") ?? 640),
  height: Number(q.get("h") ?? 360),
  theme,
  caution:
    "For concept work: these figures replace neither a classification rule, a test, nor a licensed engineer.",
} as const;

async function tryFilm(container: "webm" | "mp4", seconds = 1): Promise<Record<string, unknown>> {
  const start = performance.now();
  const f = await film(subjects, {
    ...picture,
    container,
    revolutions: 2,
    secondsPerRevolution: seconds / 2,
    framesPerSecond: 30,
  });
  const video = document.createElement("video");
  video.src = URL.createObjectURL(f.blob);
  await new Promise((done, failed) => {
    video.onloadedmetadata = done;
    video.onerror = failed;
  });
  return {
    codec: f.codec,
    bytes: f.blob.size,
    frames: f.frames,
    ms: performance.now() - start,
    duration: video.duration,
    size: [video.videoWidth, video.videoHeight],
  };
}

async function stopFilm(): Promise<string> {
  const stop = new AbortController();
  try {
    await film(subjects, {
      ...picture,
      container: "webm",
      revolutions: 1,
      secondsPerRevolution: 2,
      signal: stop.signal,
      onProgress: (p) => p > 0.1 && stop.abort(),
    });
  } catch (e) {
    return String(e);
  }
  return "not stopped";
}

async function bytes(make: () => Promise<Blob>): Promise<string> {
  const data = new Uint8Array(await (await make()).arrayBuffer());
  let text = "";
  for (const b of data) text += String.fromCharCode(b);
  return btoa(text);
}
const png = () =>
  bytes(() =>
    lineUpPng(subjects, Number(q.get("a") ?? 20), { ...picture, notes: mounted[0]?.notes ?? [] }),
  );
const glb = () => bytes(() => mounted[0]?.gltf() ?? Promise.reject(new Error("no engine")));
Object.assign(window, { tryFilm, stopFilm, png, glb, codecFor });
Object.assign(window, { mounted, rig, measure, files: all, stage: theStage() });
document.documentElement.dataset.ready = "1";
