"""How a bench sheet looks, on a screen and on A4 or Letter paper, in black and white as well."""

STYLE = """
:root { color-scheme: light; --line: #888; --soft: #f2f2f2; }
* { box-sizing: border-box; }
body { font: 15px/1.4 system-ui, "Segoe UI", "Noto Sans", "DejaVu Sans", sans-serif; color: #111;
  background: #fff; margin: 0 auto; padding: 1rem; max-width: 70rem; }
h1 { font-size: 1.5em; margin: 0; }
h2 { font-size: 1.1em; margin: 1.2em 0 .3em; border-bottom: 1.5px solid #111; }
p, ul, ol { margin: .3em 0; }
ul, ol { padding-left: 1.4em; }
header p, .aside { color: #333; }
.banner { border: 3px solid #a00; padding: .4em .8em; margin: .6em 0; background: #fff2f2; }
.banner h2 { border: 0; margin: 0; color: #a00; }
bdi { overflow-wrap: break-word; }
input[type=checkbox] { margin: 0 .12em 0 0; vertical-align: -.1em; width: 1em; height: 1em; }
.order { display: grid; grid-template-columns: 3fr 2fr; gap: 0 1.5em; }
.order ol { list-style: none; padding-left: 1.4em; text-indent: -1.4em; }
.care ul { padding-left: 1.1em; }
.pictures { display: grid; grid-template-columns: repeat(auto-fill, minmax(19rem, 1fr)); gap: .6em 1em; }
figure { margin: 0; break-inside: avoid; }
figcaption { font-weight: bold; }
figure svg { width: 100%; height: auto; max-height: 14rem; }
table { border-collapse: collapse; font-size: .92em; }
caption { text-align: left; font-weight: bold; padding: .3em 0 .1em; }
th, td { border: 1px solid var(--line); padding: .12em .4em; text-align: left; vertical-align: top;
  font-weight: normal; overflow-wrap: break-word; }
thead th, .states th { font-weight: bold; }
.meter .right:first-child td { font-weight: bold; }
.meter .right { background: var(--soft); }
.tables { columns: 2; column-gap: 1.2em; }
.tables table { width: 100%; break-inside: avoid; margin-bottom: .5em; }
.tables .wide { column-span: all; }
.narrow tbody th { width: 38%; }
.wide tbody th { width: 30%; }
.pair { display: grid; grid-template-columns: 3fr 1fr; gap: 0 1.5em; }
.cvs ol { columns: 3; column-gap: 1.4em; list-style: none; padding: 0; }
.cvs li { break-inside: avoid; padding-left: 1.2em; text-indent: -1.2em; }
.cvs .boxes { white-space: normal; }
.cut { display: inline-block; border: 1.5px dashed #111; padding: .4em .8em; }
.cut ul { list-style: none; padding: 0; }
.cut li { break-inside: avoid; margin: .15em 0; }
.cut li b { display: inline-block; min-width: 2.4em; text-align: center; border: 1px solid #111; border-radius: .3em; }
.controls { display: flex; flex-wrap: wrap; gap: .4em 1.2em; margin: .5em 0; }
.controls div { display: flex; flex-wrap: wrap; gap: .3em; }
button { font: inherit; border: 1.5px solid #333; border-radius: .4em; background: #fff; color: #111;
  padding: .3em .7em; cursor: pointer; }
button[aria-pressed=true] { background: #111; color: #fff; }
button:focus-visible { outline: 3px solid #2060e0; outline-offset: 2px; }
.lamps { list-style: none; padding: 0; display: grid;
  grid-template-columns: repeat(auto-fill, minmax(13rem, 1fr)); gap: .4em; }
.lamps li { display: flex; gap: .6em; align-items: center; border: 1px solid var(--line); border-radius: .4em;
  padding: .3em .6em; }
.bulb { position: relative; flex: none; width: 1.8em; height: 1.8em; border: 2px solid #333; border-radius: 50%;
  background: #444; overflow: hidden; }
.bulb::before { content: ""; position: absolute; inset: 0; background: var(--hue); opacity: 0; }
.on .bulb::before { opacity: calc(.25 + .75 * var(--level)); }
.on .how { font-weight: bold; }
.odd { border-style: double; border-width: 3px; }
.flashing .bulb::before { animation: flash var(--period) linear calc(var(--period) * var(--turn)) infinite; }
.alive .bulb::before { animation: alive 1.7s ease-in-out infinite; }
@keyframes flash { 50% { opacity: calc(.25 + .75 * var(--level)); } 50.01%, 100% { opacity: 0; } }
@keyframes alive { 30% { opacity: .45; } 55% { opacity: .8; } 75% { opacity: .5; } }
@media (prefers-reduced-motion: reduce) { .bulb::before { animation: none !important; }
  .flashing .bulb, .alive .bulb { border-style: dashed; } }
@media (max-width: 45rem) { .order, .pair { grid-template-columns: 1fr; } .tables, .cvs ol { columns: 1; }
  .meter { overflow-x: auto; } }
@page { margin: 9mm; }
@media print {
  body { font-size: 7.6pt; line-height: 1.22; padding: 0; max-width: none; }
  h1 { font-size: 13pt; }
  h2 { margin: .7em 0 .2em; font-size: 9pt; break-after: avoid; }
  .screen { display: none !important; }
  .order { grid-template-columns: 3fr 2fr; }
  .pair { grid-template-columns: 3fr 1fr; }
  .cvs ol { columns: 3; }
  .pictures { grid-template-columns: repeat(2, 1fr); gap: .2em 1.2em; }
  figure svg { max-height: 38mm; }
  .meter > p { break-after: avoid; break-inside: avoid; }
  input[type=checkbox] { appearance: none; border: .8pt solid #111; width: 2.3mm; height: 2.3mm; }
  .banner, .meter .right { background: none; }
  .meter .right:first-child td { font-weight: bold; }
  th, td { padding: .05em .3em; }
  tr { break-inside: avoid; }
}
"""
