import { ApiError, fetchApi } from "../api/client";
import type { Edit, EngineView, OrderList } from "../api/types";

// What the engine page asks the server beyond what all pages ask.

async function json<T>(path: string, init?: RequestInit): Promise<T> {
  const response = await fetchApi(new URL(path, location.origin).href, init);
  const body: unknown = await response.json().catch((e: unknown) => {
    if (init?.signal?.aborted) throw e;
    return null;
  });
  if (!response.ok) throw new ApiError(response.status, body);
  return body as T;
}

function send(method: string, body: unknown): RequestInit {
  return { method, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) };
}

/** Sends a body and reads the answer. */
export function postJson<T>(path: string, body: unknown, signal: AbortSignal): Promise<T> {
  return json(path, { ...send("POST", body), signal });
}

/** A text with edits that nobody has saved, evaluated. */
export interface Draft {
  file: string;
  text: string;
  edits: Edit[];
  /** rpm; 0: the speed in the file. */
  speed: number;
}

export function preview(draft: Draft, signal: AbortSignal): Promise<EngineView> {
  const { speed, ...rest } = draft;
  return json("/api/preview", {
    ...send("POST", { ...rest, speed_rpm: speed, curves: true }),
    signal,
  });
}

/** Saves edits, or a whole text, over the version that the etag names. */
export function save(
  file: string,
  etag: string,
  what: { edits: Edit[] } | { text: string; allow_problems?: boolean },
  speed: number,
): Promise<EngineView> {
  const path = `/api/engines/${encodeURIComponent(file)}`;
  return json(path, send("PUT", { etag, ...what, speed_rpm: speed }));
}

/** Every firing order that the crank allows. */
export function firingOrders(file: string, signal: AbortSignal): Promise<OrderList> {
  return json(`/api/orders?file=${encodeURIComponent(file)}`, { signal });
}

/** Makes a copy under a free name; returns the name. */
export async function duplicate(file: string): Promise<string> {
  const made = await json<{ file: string }>("/api/engines", send("POST", { copy_of: file }));
  return made.file;
}

/** Path of a figure that the server draws, the same as the command line's. */
export function figurePath(
  file: string,
  name: string,
  format: "svg" | "png",
  more: Record<string, string | number> = {},
): string {
  const q = new URLSearchParams({ file, format });
  for (const [k, v] of Object.entries(more)) if (v !== 0 && v !== "") q.set(k, String(v));
  return `/api/figures/${name}?${q}`;
}
