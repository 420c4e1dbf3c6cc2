import type { EngineView } from "../api/types";
import type { Wanted } from "../engine/drive/player";

const mark = "line-up ";

/** The name under which an engine of the line-up is heard. */
export const ownerOf = (file: string): string => mark + file;

/** The engine of the line-up that an owner is; undefined: the owner is on another page. */
export const fileOf = (owner: string): string | undefined =>
  owner.startsWith(mark) ? owner.slice(mark.length) : undefined;

/** An engine at full load; speed in rpm, 0: the speed in its file. */
export function wantedOf(file: string, view: EngineView, speed: number): Wanted {
  return {
    body: { file, text: view.text, load_percent: 100 },
    speed: speed || (view.result?.speed_rpm ?? 0),
  };
}
