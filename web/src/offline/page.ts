import type { Comparison, EngineView } from "../api/types";
import type { PageData } from "./player";

/** The data of the page that is taken away: only what it shows. */
export function pageData(
  engines: { file: string; view: EngineView }[],
  comparison: Comparison | undefined,
  state: Omit<PageData, "engines" | "rows" | "caution" | "version">,
): PageData {
  return {
    ...state,
    version: 1,
    engines: engines.flatMap(({ view }) => {
      const { geometry, result } = view;
      if (!geometry || !result) return [];
      // The parts' contributions make most of a document, and the page does not show them.
      const orders = result.balance.orders.map((o) => ({ ...o, contributions: undefined }));
      return [
        {
          geometry,
          result: {
            name: result.name,
            speed_rpm: result.speed_rpm,
            rotation: result.rotation,
            balance: { ...result.balance, orders },
          },
          displacement: result.displacement_cm3,
          summary: result.summary,
          estimates: result.estimates,
        },
      ];
    }),
    rows: comparison?.rows ?? [],
    caution: engines[0]?.view.result?.caution ?? "",
  };
}

/** One page that needs nothing else: data, player and style inside. */
export function offlinePage(data: PageData, player: string): string {
  // "</script" and "<!--" inside a script would end it.
  const safe = (s: string) => s.replaceAll("</", "<\\/").replaceAll("<!--", "<\\!--");
  const json = JSON.stringify(data).replaceAll("<", "\\u003c");
  const title = data.title.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
  const policy =
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:";
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="generator" content="Crankwright">
<title>${title}</title>
</head>
<body>
<noscript>The engines on this page move by a script inside it, and scripts are off.</noscript>
<script type="application/json" id="line-up-data">${json}</script>
<script>${safe(player)}</script>
</body>
</html>
`;
}
