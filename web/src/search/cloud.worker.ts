// Keeps the candidates and draws them, so that the page never waits for a million of them.

import { Painter, type Answer, type Ask } from "./painter";

interface Scope {
  onmessage: ((e: MessageEvent<Ask>) => void) | null;
  postMessage(answer: Answer, transfer?: Transferable[]): void;
}
const scope = self as unknown as Scope;
let painter: Painter | undefined;

scope.onmessage = ({ data: ask }) => {
  switch (ask.kind) {
    case "data":
      painter = new Painter(ask.columns);
      scope.postMessage({ kind: "data", spans: painter.cloud.spans() });
      break;
    case "look": {
      if (!painter) return;
      const seen = painter.look(ask.look);
      const pictures = [seen.axesAll, seen.axesChosen, seen.planeAll, seen.planeChosen];
      scope.postMessage(
        { kind: "look", seen },
        pictures.flatMap((p) => (p ? [p.data.buffer] : [])),
      );
      break;
    }
    case "pick":
      if (painter)
        scope.postMessage({ kind: "pick", picked: painter.pick(ask.x, ask.y, ask.radius) });
  }
};
