"""How the match page looks: type, colours, and the shapes that stand for outcomes; on screen and on A4.

Colours are dark enough on white for 4.5 to 1 (WCAG 2.1, success criterion 1.4.3), and every colour has its shape.
"""

SHAPES = """
<svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs>
<g id="sign-pass"><circle cx="10" cy="10" r="9" fill="currentColor"/>
<path d="M5.5 10.5l3 3 6-7" fill="none" stroke="#fff" stroke-width="2.4"/></g>
<g id="sign-condition"><path d="M10 1L19.5 18.5H.5z" fill="currentColor"/>
<path d="M10 7v5.5M10 14.4v2" stroke="#fff" stroke-width="2.2"/></g>
<g id="sign-unknown"><path d="M10 .5L19.5 10 10 19.5 .5 10z" fill="#fff" stroke="currentColor"
stroke-width="1.8"/><path d="M7.4 8.2a2.6 2.4 0 1 1 3.6 2.2q-1 .5-1 1.6M10 13.4v1.8" fill="none" stroke="currentColor"
stroke-width="1.8"/></g>
<g id="sign-fail"><rect x="1" y="1" width="18" height="18" fill="currentColor"/>
<path d="M5.5 5.5l9 9M14.5 5.5l-9 9" stroke="#fff" stroke-width="2.6"/></g>
</defs></svg>
"""

STYLE = """
:root { --ink: #16181a; --quiet: #4d5358; --rule: #c9cdd1; --pass: #17633a; --condition: #8a4b00; --unknown: #4a3c8c;
  --fail: #9c1b1b }
* { box-sizing: border-box }
html { font: 18px/1.45 system-ui, "Segoe UI", "Noto Sans", "DejaVu Sans", sans-serif; color: var(--ink);
  background: #fff; -webkit-text-size-adjust: 100%; font-variant-numeric: tabular-nums }
body { margin: 0 }
main { max-width: 1240px; margin: 0 auto; padding: 28px clamp(16px, 3vw, 44px) 60px }
h1 { font-size: 2rem; line-height: 1.15; margin: 0 0 .5rem; letter-spacing: -.01em }
h2 { font-size: 1.6rem; line-height: 1.2; margin: 0 0 .4rem }
h3 { font-size: 1.15rem; margin: 2rem 0 .5rem; padding-top: .6rem; border-top: 2px solid var(--ink) }
h4 { font-size: 1rem; margin: .6rem 0 .2rem }
p { margin: .25rem 0 }
dl { display: flex; flex-wrap: wrap; gap: .3rem 2rem; margin: .4rem 0 }
dt { font-size: .8rem; color: var(--quiet) } dd { margin: 0; font-weight: 500 }
ul, ol { margin: .2rem 0; padding-left: 1.4em } li { margin: .2rem 0 }
a { color: inherit }
.quiet, small { color: var(--quiet) }
table { border-collapse: collapse; width: 100% }
th, td { text-align: left; vertical-align: top; padding: .4rem .7rem .4rem 0; border-bottom: 1px solid var(--rule) }
thead th { font-size: .85rem; color: var(--quiet); font-weight: 600; border-bottom: 1.5px solid var(--ink) }
.sign { width: 1.05em; height: 1.05em; flex: none; vertical-align: -.16em; margin-right: .4em }
.sign.pass { color: var(--pass) } .sign.condition { color: var(--condition) }
.sign.unknown { color: var(--unknown) } .sign.fail { color: var(--fail) }
.badge { display: inline-block; font-weight: 700; white-space: nowrap }
.badge.drop_in { color: var(--pass) } .badge.conditional { color: var(--condition) }
.badge.unknown { color: var(--unknown) } .badge.no { color: var(--fail) }
.cards { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(340px, 100%), 1fr)); gap: 16px }
.card { border: 1.5px solid var(--rule); border-left: 8px solid var(--ink); border-radius: 4px; padding: 14px 18px }
.card.drop_in { border-left-color: var(--pass) } .card.conditional { border-left: 8px double var(--condition) }
.card.unknown { border-left: 8px dotted var(--unknown) } .card.no { border-left-color: var(--fail) }
.card .badge { font-size: 1.15rem }
.maker { color: var(--quiet); margin-top: .5rem } .part { font-size: 1.5rem; font-weight: 650; margin: 0 0 .4rem }
.reason { margin: .45rem 0 } .source { color: var(--quiet); font-size: .8rem }
.shelf { border-top: 1px solid var(--rule); margin-top: .8rem; padding-top: .5rem; color: var(--quiet) }
.scroll { overflow-x: auto } .warned { font-weight: 600 }
.checks td:first-child { color: var(--quiet); width: 1.6rem } .checks tbody th { font-weight: 650; min-width: 6.5rem }
.checks td:nth-child(3) { width: 36% }
.sides th:first-child { font-weight: 500; min-width: 9rem; position: sticky; left: 0; background: #fff }
.sides td { min-width: 8.5rem } .sides small { display: block; font-size: .78rem; font-weight: 400 }
.sides td:not(.quiet) { padding-left: 1.5em; text-indent: -1.5em } .sides td small { text-indent: 0 }
.sides thead th { font-size: 1rem; color: var(--ink) }
.sides td.fail, .sides td.unknown, .sides td.condition { font-weight: 650 } .sides td small { font-weight: 400 }
.contents td { padding-top: .6rem; padding-bottom: .6rem }
.figures { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(420px, 100%), 1fr)); gap: 20px 32px }
figure { margin: 0; break-inside: avoid } .drawn { margin-bottom: 20px }
figure > svg { width: 100%; height: auto; max-height: 90vh } figcaption { color: var(--quiet); font-size: .85rem }
figure.fit > svg { max-width: 900px }
.pictures h3 .badge { margin-right: .5rem }
.care { border: 2.5px solid var(--ink); padding: 0 20px 12px; margin-top: 2rem }
.care h3 { border: 0; margin-top: .3rem }
.whole section.place { margin-top: 4rem; border-top: 6px solid var(--ink); padding-top: 1.2rem }
footer { margin-top: 2rem; color: var(--quiet); font-size: .85rem }
@page { size: A4; margin: 13mm 14mm 14mm }
@media print {
  html { font-size: 9.5pt; line-height: 1.32 }
  main { max-width: none; padding: 0 }
  h1 { font-size: 17pt } h2 { font-size: 14pt } h3 { margin: 4mm 0 1mm; padding-top: 1.5mm; break-after: avoid }
  h4 { break-after: avoid }
  .cards { grid-template-columns: 1fr 1fr 1fr; gap: 2.5mm } .card { padding: 2mm 3mm; break-inside: avoid }
  .part { font-size: 12pt } .maker { margin-top: 1mm } .shelf { margin-top: 1.5mm; padding-top: 1mm }
  .checks { font-size: 8.2pt; line-height: 1.25 } .checks .source { font-size: 6.8pt }
  .figures { grid-template-columns: 1fr 1fr; gap: 4mm 7mm } .tall + .figures { break-before: page }
  .care ul { columns: 2; column-gap: 7mm }
  .care { padding: 0 4mm 2mm; margin-top: 4mm; border-width: .5mm }
  .scroll { overflow: visible } .sides { font-size: 7.6pt; line-height: 1.22 }
  .sides th:first-child { position: static; min-width: 0; width: 19% }
  .sides thead th { font-size: 8.5pt } .sides td { min-width: 0 } .sides small { font-size: 6.8pt }
  .sides th, .sides td { padding-top: .5mm; padding-bottom: .5mm; padding-right: 2mm } footer { margin-top: 3mm }
  th, td { padding: .7mm 2mm .7mm 0 } tr, li, .measure, .care, .work { break-inside: avoid }
  figure > svg { max-height: 108mm } figure.fit > svg { width: auto; max-width: 100%; max-height: none }
  .whole section.place { break-before: page }
  .whole section.place { border: 0; margin: 0; padding: 0 }
  .before, .compared, :not(.pictures) + .pictures { break-before: page }
  .before > h3, .compared > h3, .pictures > h3 { margin-top: 0 }
  .many { gap: 2mm 7mm } .many figure > svg { max-height: 70mm }
  .drawn { margin-bottom: 2mm } figcaption { font-size: 7.6pt; margin-top: -1mm }
  * { -webkit-print-color-adjust: exact; print-color-adjust: exact }
}
"""
