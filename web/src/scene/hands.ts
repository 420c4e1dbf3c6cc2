import type { CameraRig } from "./rig";

/** Lets a pointer, a wheel and the keyboard turn a rig; returns how to let go. */
export function takeHands(canvas: HTMLCanvasElement, rig: () => CameraRig): () => void {
  const stop = new AbortController();
  const { signal } = stop;
  const pointers = new Map<number, { x: number; y: number }>();
  let apart = 0;

  canvas.style.touchAction = "pan-y";
  canvas.addEventListener(
    "pointerdown",
    (e) => {
      if (e.button > 2) return;
      canvas.setPointerCapture(e.pointerId);
      pointers.set(e.pointerId, { x: e.clientX, y: e.clientY });
      apart = distance(pointers);
    },
    { signal },
  );
  canvas.addEventListener(
    "pointermove",
    (e) => {
      const before = pointers.get(e.pointerId);
      if (!before) return;
      const dx = e.clientX - before.x;
      const dy = e.clientY - before.y;
      pointers.set(e.pointerId, { x: e.clientX, y: e.clientY });
      const high = Math.max(1, canvas.clientHeight);
      if (pointers.size > 1) {
        const now = distance(pointers);
        if (apart > 0 && now > 0) rig().zoomBy(now / apart);
        apart = now;
      } else if (e.shiftKey || e.buttons & 6) rig().pan(dx / high, dy / high);
      else rig().turn((-dx / high) * 3, (dy / high) * 3);
    },
    { signal },
  );
  const up = (e: PointerEvent) => {
    pointers.delete(e.pointerId);
    apart = 0;
  };
  canvas.addEventListener("pointerup", up, { signal });
  canvas.addEventListener("pointercancel", up, { signal });
  canvas.addEventListener("contextmenu", (e) => e.preventDefault(), { signal });
  canvas.addEventListener("dblclick", () => rig().setView("orbit"), { signal });
  canvas.addEventListener(
    "wheel",
    (e) => {
      // the page scrolls with a plain wheel unless the picture is in use
      if (!e.ctrlKey && document.activeElement !== canvas) return;
      e.preventDefault();
      rig().zoomBy(Math.exp(-e.deltaY * 0.0015));
    },
    { signal, passive: false },
  );
  canvas.addEventListener(
    "keydown",
    (e) => {
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      const act = keys(rig(), e.shiftKey)[e.key];
      if (!act) return;
      e.preventDefault();
      e.stopPropagation();
      act();
    },
    { signal },
  );
  return () => stop.abort();
}

function keys(r: CameraRig, shift: boolean): Partial<Record<string, () => void>> {
  const step = Math.PI / 24;
  const move = (x: number, y: number) => () =>
    shift ? r.pan(0.05 * x, -0.05 * y) : r.turn(x * step, y * step);
  return {
    ArrowLeft: move(-1, 0),
    ArrowRight: move(1, 0),
    ArrowUp: move(0, 1),
    ArrowDown: move(0, -1),
    "+": () => r.zoomBy(1.15),
    "=": () => r.zoomBy(1.15),
    "-": () => r.zoomBy(1 / 1.15),
    Home: () => r.setView("orbit"),
  };
}

function distance(pointers: ReadonlyMap<number, { x: number; y: number }>): number {
  const [a, b] = [...pointers.values()];
  return a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
}
