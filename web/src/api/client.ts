import createClient from "openapi-fetch";
import type { paths } from "./schema";

/** What went wrong, in the terms in which the workbench answers. */
export type Fault =
  | "gone" // nobody answers
  | "denied" // a token is needed, or another one
  | "missing" // there is no such thing
  | "conflict" // the file changed in the meantime
  | "refused" // what was sent is not right
  | "broken"; // the server failed

/** An answer that is not the one asked for: problem details of RFC 9457, or no answer at all. */
export class ApiError extends Error {
  readonly fault: Fault;
  readonly status: number;
  readonly title: string;
  /** Where in the request, and what. */
  readonly places: { location: string; message: string }[];
  /** The whole body, for callers that know its type. */
  readonly body: unknown;

  constructor(status: number, body: unknown) {
    const problem = (typeof body === "object" && body !== null ? body : {}) as Record<
      string,
      unknown
    >;
    const title = text(problem["title"]) || standing(status);
    super(text(problem["detail"]) || title);
    this.name = "ApiError";
    this.status = status;
    this.title = title;
    this.body = body;
    this.fault = faultOf(status);
    const errors = Array.isArray(problem["errors"]) ? problem["errors"] : [];
    this.places = errors.map((e: Record<string, unknown>) => ({
      location: text(e["location"]),
      message: text(e["message"]),
    }));
  }
}

function text(v: unknown): string {
  return typeof v === "string" ? v : "";
}

function faultOf(status: number): Fault {
  if (status === 0) return "gone";
  if (status === 401 || status === 403) return "denied";
  if (status === 404 || status === 410) return "missing";
  if (status === 409 || status === 412) return "conflict";
  return status >= 500 ? "broken" : "refused";
}

function standing(status: number): string {
  if (status === 0) return "The server does not answer";
  return `The server answered ${status}`;
}

/**
 * Fetches; a missing answer becomes an ApiError of status 0. Where the server wants a token, the browser
 * keeps it in a cookie that scripts cannot read.
 */
export async function fetchApi(input: Request | string, init?: RequestInit): Promise<Response> {
  const request = new Request(input, init);
  try {
    return await fetch(request);
  } catch (e) {
    if (e instanceof DOMException && e.name === "AbortError") throw e;
    throw new ApiError(0, undefined);
  }
}

/** The typed client; use it with `ok`. */
export const api = createClient<paths>({
  baseUrl: typeof location === "undefined" ? "http://127.0.0.1" : location.origin,
  fetch: fetchApi,
});

/** The body of a good answer; anything else is thrown as an ApiError. */
export async function ok<T>(
  call: Promise<{ data?: T; error?: unknown; response: Response }>,
): Promise<T> {
  const { data, error, response } = await call;
  if (!response.ok) throw new ApiError(response.status, error);
  return data as T;
}

/** The text of a file that the server makes: a figure, a table, a page. */
export async function fetchText(path: string): Promise<string> {
  return (await fetchGood(path)).text();
}

/** The bytes of a file that the server makes. */
export async function fetchBlob(path: string): Promise<Blob> {
  return (await fetchGood(path)).blob();
}

/** Sends a body and reads the file that comes back. */
export async function postBlob(path: string, body: object): Promise<Blob> {
  const headers = { "Content-Type": "application/json" };
  return (await fetchGood(path, { method: "POST", headers, body: JSON.stringify(body) })).blob();
}

/** A good answer; anything else is thrown as an ApiError. */
export async function fetchGood(path: string, init?: RequestInit): Promise<Response> {
  const response = await fetchApi(new URL(path, location.origin).href, init);
  if (!response.ok) throw new ApiError(response.status, await response.json().catch(() => null));
  return response;
}

/** Says in words what was thrown. */
export function inWords(e: unknown): string {
  return e instanceof Error ? e.message : String(e);
}
