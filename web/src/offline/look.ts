import palette from "../styles/palette.css?raw";

// The look of the line-up that is taken away: the palette and a small style sheet as text. Every rule but
// those of a page of its own begins with .live, so that nothing of a page around it changes.

function colours(selector: string): Record<string, string> {
  const from = palette.indexOf(selector);
  const body = palette.slice(from, palette.indexOf("}", from));
  return Object.fromEntries(
    [...body.matchAll(/--cw-(\w+): (#[0-9a-f]{6})/g)].map((m) => [m[1] ?? "", m[2] ?? ""]),
  );
}

/** The colours of both themes by role. */
export const themes = {
  light: colours(":root {"),
  dark: colours(':root[data-theme="dark"] {'),
};

const vars = (t: Record<string, string>) =>
  Object.entries(t)
    .map(([k, v]) => `--${k}:${v};`)
    .join("");

const shared = `
.live,.live *{box-sizing:border-box}
.live h2,.live h3{font-size:1rem;margin:0;padding:0;border:0;letter-spacing:0;line-height:1.3}
.live .live-name{display:flex;gap:.6rem;align-items:start;overflow-wrap:anywhere}
.live .live-head{margin:1.5rem 0 .4rem}
.live p{margin:.2rem 0}
.live .live-soft{color:var(--soft);font-size:.875rem}
.live .live-plate{display:inline-grid;place-items:center;min-width:1.6rem;height:1.6rem;background:var(--ink);color:var(--paper);font-weight:700;flex:none;line-height:1}
.live .live-engines{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,15rem),1fr));gap:1rem;margin-top:1rem}
.live .live-engine{border:2px solid var(--ink);padding:.6rem .75rem;min-width:0;max-width:40rem;display:flex;flex-direction:column;justify-content:space-between}
.live canvas{display:block;width:100%;height:19rem}
.live .live-few canvas{height:25rem}
.live .live-legend{display:flex;flex-wrap:wrap;gap:.2rem 1.5rem;font-size:.875rem;margin-top:.6rem}
.live .live-key::before{content:"";display:inline-block;width:1.4rem;border-top:3px solid;margin-right:.5rem;vertical-align:.25em}
.live .live-ink::before{color:var(--ink)}.live .live-with::before{color:var(--with)}.live .live-against::before{color:var(--against);border-top-style:dashed}.live .live-path::before{color:var(--soft)}.live .live-thin::before{color:var(--ink);border-top:2px dashed}
.live .live-strip{position:relative;display:grid;grid-template-columns:2.2rem 1fr;row-gap:.25rem}
.live .live-row{position:relative;height:1.7rem;border-bottom:1px solid var(--rule);overflow:hidden}
.live .live-firing{position:absolute;top:.15rem;bottom:.15rem;border-left:3px solid var(--with);padding-left:.25rem;font-size:.8rem}
.live .live-bank1{border-color:var(--against)}.live .live-bank2{border-color:var(--third)}.live .live-bank3{border-color:var(--fourth)}
.live .live-cursor{position:absolute;top:0;bottom:0;left:calc(2.2rem + (100% - 2.2rem)*var(--at));width:2px;background:var(--ink)}
.live .live-transport{bottom:0;z-index:2;display:flex;flex-wrap:wrap;gap:.75rem;align-items:center;padding:.6rem 0;background:var(--paper);border-top:2px solid var(--ink)}
.live .live-transport input{flex:1;min-width:8rem;accent-color:var(--with)}
.live output{min-width:3.2rem;text-align:right;font-variant-numeric:tabular-nums;font-weight:600}
.live button,.live select{font:inherit;min-height:2rem;padding:.2rem .8rem;border:1px solid var(--soft);border-radius:2px;background:var(--paper);color:var(--ink)}
.live button{background:var(--ink);color:var(--paper);min-width:5rem;cursor:pointer}
.live :focus-visible{outline:3px solid var(--with);outline-offset:2px}
@media (max-width:40rem){
.live .live-engine canvas{height:15rem}
.live .live-transport{gap:.5rem}
.live .live-transport input{min-width:4rem}
.live .live-transport button,.live .live-transport select{min-width:0;padding:.2rem .4rem}
.live output{min-width:2.6rem}
}
`;

/** The rules of a line-up in a page around it, whose colours it takes. */
export const insideStyle = `
.live{${Object.keys(themes.light)
  .map((k) => `--${k}:var(--cw-${k});`)
  .join("")}}${shared}
.live .live-transport{position:sticky;margin-top:1rem}
@media print{.live{display:none}}
`;

/** The rules of a page of its own. */
export const aloneStyle = `
:root{${vars(themes.light)}color-scheme:light dark;font:15px/1.45 "Segoe UI",Roboto,"Helvetica Neue",Arial,"Liberation Sans",sans-serif;background:var(--paper);color:var(--ink)}
@media screen and (prefers-color-scheme:dark){:root{${vars(themes.dark)}}}
body{margin:0}
main{padding:1rem clamp(.75rem,2vw,2rem) 6rem;max-width:110rem;margin:0 auto}
h1{font-size:1.5rem;margin:.25rem 0}${shared}
.live .live-transport{position:fixed;inset:auto 0 0;padding:.6rem clamp(.75rem,2vw,2rem)}
.scroll{overflow-x:auto;margin-top:1.5rem}
table{border-collapse:collapse;font-size:.875rem;font-variant-numeric:tabular-nums;min-width:100%}
th,td{padding:.35rem .7rem;border-bottom:1px solid var(--rule);text-align:right}
thead th{border-bottom:2px solid var(--ink);vertical-align:bottom}
th:first-child{text-align:left;font-weight:400}
.best b{color:var(--third)}.worst b{color:var(--against)}td b{font-size:.75rem}
.notes{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr));gap:0 2rem}
ul{margin:.3rem 0;padding-left:1.1rem}summary{cursor:pointer}
@media print{.live .live-transport{display:none}}
`;
