"""How the fleet's page looks, on a screen and on A4 landscape, in black and white as well."""

STYLE = """
:root { color-scheme: light; --line: #9a9a9a; --soft: #eef1f4; --ink: #151515; --faint: #555; }
* { box-sizing: border-box; }
body { font: 14px/1.35 system-ui, "Segoe UI", "Noto Sans", "DejaVu Sans", sans-serif; color: var(--ink);
  background: #fff; margin: 0 auto; padding: 1.2rem; max-width: 86rem; }
header { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 1.5em; border-bottom: 3px solid var(--ink); }
header p { margin: .2em 0; color: var(--faint); }
h1 { font-size: 1.7em; margin: 0 0 .1em; }
h2, caption { font-size: 1.15em; font-weight: bold; text-align: left; margin: 0; padding: 1.2em 0 .35em; }
section > p { margin: 0; color: var(--faint); }
.matrix caption { font-size: 1em; padding-top: .6em; }
section { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 1px solid var(--line); padding: .3em .5em; text-align: left; vertical-align: top;
  font-weight: normal; overflow-wrap: anywhere; }
thead th { background: var(--ink); color: #fff; border-color: var(--ink); font-weight: bold; }
tbody th[scope=row] { font-weight: bold; }
.set th { background: var(--soft); font-weight: bold; border-top: 2px solid var(--ink); }
ul { margin: 0; padding: 0; list-style: none; }
section > ul { padding: 0; }
.vehicles th[scope=row] { width: 23%; }
.vehicles td:nth-of-type(1) { width: 8%; }
.vehicles td:nth-of-type(2) { width: 16%; }
.vehicles td:nth-of-type(3) { width: 22%; }
.vehicles td ul { columns: 2; column-gap: 1.2em; }
.vehicles td:nth-of-type(2) ul { columns: 1; }
.vehicles li { break-inside: avoid; padding-left: .9em; text-indent: -.9em; }
.file, .aside, .meant { display: block; font-weight: normal; font-size: .86em; }
.file, .aside { color: var(--faint); }
.matrix { table-layout: fixed; }
.matrix th:first-child { width: 14%; }
.matrix td, .matrix thead th { padding: .25em .35em; }
.matrix bdi { hyphens: auto; }
.mark { display: block; width: fit-content; max-width: 100%; margin-top: .2em; padding: 0 .35em; font-size: .82em;
  border: 1px solid var(--ink); border-radius: .35em; }
.off { background: #fde7b8; }
.off .mark:last-child { font-weight: bold; background: #fff; }
.free { color: #777; text-align: center; }
.free::before { content: "·"; content: "·" / ""; }
.spoken { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.free { position: relative; }
@media (max-width: 60rem) { .vehicles, .matrix { min-width: 56rem; } }
@page { size: A4 landscape; margin: 10mm; }
@media print {
  body { font-size: 8pt; line-height: 1.25; padding: 0; max-width: none; }
  section { overflow: visible; }
  h1 { font-size: 15pt; }
  caption, h2 { padding: .8em 0 .25em; }
  .keys { break-before: page; }
  .keys > h2 { padding-top: 0; }
  .matrix + .matrix { break-before: page; }
  tr, li, .elsewhere { break-inside: avoid; }
  h2 { break-after: avoid; }
  .set { break-after: avoid; }
  thead th { background: #fff; color: var(--ink); border: 1px solid var(--line);
    border-bottom: 1.5pt solid var(--ink); }
  .vehicles, .matrix { min-width: 0; }
}
"""
