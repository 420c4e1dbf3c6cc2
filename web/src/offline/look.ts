import palette from "../styles/palette.css?raw";

// The look of the page that is taken away: the palette and a small style sheet as text.

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

export const style = `
:root{${vars(themes.light)}color-scheme:light dark;font:15px/1.45 "Segoe UI",Roboto,"Helvetica Neue",Arial,"Liberation Sans",sans-serif;background:var(--paper);color:var(--ink)}
@media (prefers-color-scheme:dark){:root{${vars(themes.dark)}}}
*{box-sizing:border-box}
body{margin:0}
main{padding:1rem clamp(.75rem,2vw,2rem) 6rem;max-width:110rem;margin:0 auto}
h1{font-size:1.5rem;margin:.25rem 0}
h2{font-size:1rem;margin:0;display:flex;gap:.6rem;align-items:center}
h3{font-size:1rem;margin:1.5rem 0 .4rem}
p{margin:.2rem 0}
.soft{color:var(--soft);font-size:.875rem}
.plate{display:inline-grid;place-items:center;min-width:1.6rem;height:1.6rem;background:var(--ink);color:var(--paper);font-weight:700;flex:none}
.engines{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,15rem),1fr));gap:1rem;margin-top:1rem}
article{border:2px solid var(--ink);padding:.6rem .75rem;min-width:0}
canvas{display:block;width:100%;height:19rem}
.legend{display:flex;flex-wrap:wrap;gap:.2rem 1.5rem;font-size:.875rem}
.key::before{content:"";display:inline-block;width:1.4rem;border-top:3px solid;margin-right:.5rem;vertical-align:.25em}
.ink::before{color:var(--ink)}.with::before{color:var(--with)}.against::before{color:var(--against)}.soft.key{color:inherit}.soft::before{color:var(--soft)}.thin::before{color:var(--ink);border-top:2px dashed}
.strip{position:relative;display:grid;grid-template-columns:2.2rem 1fr;row-gap:.25rem}
.row{position:relative;height:1.7rem;border-bottom:1px solid var(--rule)}
.firing{position:absolute;top:.15rem;bottom:.15rem;border-left:3px solid var(--with);padding-left:.25rem;font-size:.8rem}
.bank1{border-color:var(--against)}.bank2{border-color:var(--third)}.bank3{border-color:var(--fourth)}
.cursor{position:absolute;top:0;bottom:0;left:calc(2.2rem + (100% - 2.2rem)*var(--at));width:2px;background:var(--ink)}
.scroll{overflow-x:auto;margin-top:1.5rem}
table{border-collapse:collapse;font-size:.875rem;font-variant-numeric:tabular-nums;min-width:100%}
th,td{padding:.35rem .7rem;border-bottom:1px solid var(--rule);text-align:right}
thead th{border-bottom:2px solid var(--ink);vertical-align:bottom}
th:first-child{text-align:left;font-weight:400}
.best b{color:var(--third)}.worst b{color:var(--against)}td b{font-size:.75rem}
.notes{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr));gap:0 2rem}
ul{margin:.3rem 0;padding-left:1.1rem}summary{cursor:pointer}
.transport{position:fixed;inset:auto 0 0;display:flex;flex-wrap:wrap;gap:.75rem;align-items:center;padding:.6rem clamp(.75rem,2vw,2rem);background:var(--paper);border-top:2px solid var(--ink)}
.transport input{flex:1;min-width:8rem;accent-color:var(--with)}
output{min-width:3.2rem;text-align:right;font-variant-numeric:tabular-nums;font-weight:600}
button,select{font:inherit;min-height:2rem;padding:.2rem .8rem;border:1px solid var(--soft);border-radius:2px;background:var(--paper);color:var(--ink)}
button{background:var(--ink);color:var(--paper);min-width:5rem}
:focus-visible{outline:3px solid var(--with);outline-offset:2px}
@media print{.transport{display:none}}
`;
