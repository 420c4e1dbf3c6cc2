import { fetchApi, ApiError } from "./client";

/** One server-sent event. */
export interface ServerEvent {
  name: string;
  data: string;
}

/**
 * Reads the server's events until the connection ends. It goes through fetch and not EventSource, because
 * EventSource hides why a connection failed and when it will try again.
 */
export async function readEvents(
  path: string,
  signal: AbortSignal,
  onOpen: () => void,
  onEvent: (e: ServerEvent) => void,
): Promise<void> {
  const response = await fetchApi(new URL(path, location.origin).href, {
    signal,
    headers: { Accept: "text/event-stream" },
  });
  if (!response.ok || !response.body) throw new ApiError(response.status, undefined);
  onOpen();
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const [events, left] = parseEvents(rest + value);
    rest = left;
    events.forEach(onEvent);
  }
}

/** Splits a stream's text into whole events and what is left of the next one. */
export function parseEvents(text: string): [ServerEvent[], string] {
  const blocks = text.replaceAll("\r\n", "\n").split("\n\n");
  const left = blocks.pop() ?? "";
  const events = blocks.flatMap((block) => {
    let name = "message";
    const data: string[] = [];
    for (const line of block.split("\n")) {
      if (line.startsWith("event:")) name = line.slice(6).trim();
      else if (line.startsWith("data:")) data.push(line.slice(5).replace(/^ /, ""));
    }
    return data.length > 0 ? [{ name, data: data.join("\n") }] : [];
  });
  return [events, left];
}
