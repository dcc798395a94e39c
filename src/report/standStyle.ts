/** How the stand file looks: near-black on warm paper, read at arm's length with a glove on. */
export const STAND_STYLE = `
:root { color-scheme: light; --ink: #1b1a17; --ground: #faf8f3; --paper: #fff; --accent: #8f1d14; }
* { box-sizing: border-box; }
[hidden] { display: none !important; }
body { margin: 0; background: var(--ground); color: var(--ink); font: 1.125rem/1.4 system-ui, sans-serif; }
header, main { max-width: 60rem; margin: 0 auto; padding: 0.5rem 0.75rem; }
h1, h2, p { overflow-wrap: anywhere; }
h1 { font-size: 1.1rem; margin: 0; }
header p { margin: 0; font-size: 0.95rem; }
h2 { font-size: 1.35rem; margin: 0.5rem 0; }
figure { margin: 0; background: var(--paper); border: 1px solid var(--ink); }
svg { display: block; width: 100%; height: auto; max-height: 70vh; }
ol { list-style: none; margin: 0; padding: 0; }
.step { border-top: 1px solid #8a857b; padding: 0.6rem 0; }
.what { margin: 0; font-size: 1.3rem; }
.length { margin: 0.2rem 0; font-size: 2.6rem; font-weight: 700; line-height: 1.1; }
.note { margin: 0.3rem 0; font-size: 1rem; }
table { border-collapse: collapse; margin: 0.4rem 0; font-size: 1.2rem; }
th, td { text-align: left; padding: 0.25rem 1rem 0.25rem 0; border-bottom: 1px solid #8a857b; font-weight: 400; vertical-align: top; }
td { font-weight: 700; }
.tick { display: inline-flex; align-items: center; min-height: 44px; min-width: 44px; gap: 0.6rem; font-size: 1.2rem; }
.tick input { width: 28px; height: 28px; accent-color: var(--accent); }
#bar { position: fixed; left: 0; right: 0; bottom: 0; display: flex; flex-wrap: wrap; gap: 0.5rem; padding: 0.5rem 0.75rem;
	background: var(--ground); border-top: 2px solid var(--ink); align-items: center; }
#bar button { flex: 1 1 8rem; min-height: 56px; font: 700 1.3rem system-ui, sans-serif; color: var(--paper); background: var(--ink);
	border: 2px solid var(--ink); border-radius: 6px; }
#bar button:disabled { color: #55524a; background: var(--ground); border-style: dashed; }
#bar select { flex: 1 1 14rem; min-width: 0; min-height: 44px; font: 1rem system-ui, sans-serif; color: var(--ink); background: var(--paper);
	border: 1px solid var(--ink); }
#where { flex: 0 0 auto; margin: 0; }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 2px; }
.stepping main { padding-bottom: 10rem; }
.stepping svg { max-height: 46vh; }
.stepping .step { border-top: 0; }
.pick g[id*='-run-'] { opacity: 0.4; }
.pick g.now { opacity: 1; }
.pick g.now path { stroke: var(--accent); stroke-width: 1.6; stroke-dasharray: none; }
@media print { #bar { display: none; } .card { break-after: page; } }
`
