"""How a report looks: black on white, on a screen of any width and on A4."""

STYLE = """\
@page { size: A4; margin: 16mm 14mm 18mm; }
@page { @bottom-right { content: counter(page) " / " counter(pages); font: 8pt sans-serif; } }
* { box-sizing: border-box; }
body { font: 11pt/1.42 "Liberation Sans", Arial, Helvetica, sans-serif; color: #000;
  background: #fff; margin: 0 auto; padding: 1.2rem; max-width: 62rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 0.6rem; overflow-wrap: anywhere; }
h2 { font-size: 1.35rem; margin: 2.2rem 0 0.6rem; padding: 0.3rem 0.6rem;
  border: 1.5pt solid #000; }
h3 { font-size: 1.08rem; margin: 1.3rem 0 0.4rem; border-bottom: 1pt solid #000; }
h4 { font-size: 1rem; margin: 0.8rem 0 0.2rem; flex-basis: 100%; }
p { margin: 0.35rem 0; }
ul { margin: 0.3rem 0 0.5rem; padding-left: 1.2rem; }
li { margin: 0.15rem 0; }
p, li, td, dd { overflow-wrap: anywhere; }
td.short { white-space: nowrap; overflow-wrap: normal; }
dl { display: grid; grid-template-columns: repeat(auto-fill, minmax(13rem, 1fr)); margin: 0;
  border-top: 1pt solid #000; }
dl div { padding: 0.25rem 0.4rem 0.25rem 0; border-bottom: 0.5pt solid #999; }
dt { font-size: 0.78rem; color: #333; }
dd { margin: 0; font-weight: bold; }
table { border-collapse: separate; border-spacing: 0;
  width: 100%; margin: 0.5rem 0 0.8rem; font-size: 0.86rem;
  line-height: 1.3; }
thead { display: table-header-group; }
th { background: #e8e8e8; font-weight: bold; overflow-wrap: normal; border-top: 0.5pt solid #555; }
th, td { border-right: 0.5pt solid #555; border-bottom: 0.5pt solid #555;
  padding: 0.22rem 0.4rem; text-align: left;
  vertical-align: top; }
th:first-child, td:first-child { border-left: 0.5pt solid #555; }
td:first-child { min-width: 5em; }
tr { break-inside: avoid; }
tr.bad td { font-weight: bold; background: #e8e8e8; }
.box { border: 3pt solid #000; padding: 0.4rem 0.8rem; margin: 0.6rem 0; break-inside: avoid; }
.pictures { display: flex; flex-wrap: wrap; gap: 0 1.5rem; break-inside: avoid; }
figure { flex: 1 1 24rem; margin: 0.2rem 0 0.6rem; max-width: 34rem; min-width: 0;
  break-inside: avoid; }
figcaption { font-size: 0.86rem; }
svg { width: 100%; height: auto; display: block; }
pre { font-size: 0.72rem; line-height: 1.2; overflow-x: auto; }
.sign { display: grid; grid-template-columns: 1fr 1fr; gap: 0 2rem; break-inside: avoid; }
.sign p { margin: 0; font-size: 0.86rem; }
.sign span { display: block; height: 2.6rem; border-bottom: 0.7pt solid #000; }
footer { margin-top: 1.5rem; font-size: 0.8rem; border-top: 0.5pt solid #999; }
@media screen and (max-width: 44rem) {
  body { padding: 0.7rem; }
  thead { display: none; }
  table, tbody, tr, td { display: block; width: 100%; }
  tr { border: 1pt solid #000; margin: 0 0 0.5rem; }
  td, td:first-child { border: 0; border-bottom: 0.5pt solid #bbb; }
  td:empty { display: none; }
  td::before { content: attr(data-head) ": "; font-weight: normal; color: #333; }
  td:first-child { font-weight: bold; }
  .sign { grid-template-columns: 1fr; }
}
@media print {
  body { font-size: 9.5pt; padding: 0; max-width: none; }
  .part + .part { break-before: page; }
  h2 { margin: 0.8rem 0 0.4rem; }
  h3 { margin: 0.8rem 0 0.3rem; }
  .part + .part h2 { margin-top: 0; }
  h2, h3, h4 { break-after: avoid; }
  tr:nth-last-child(2) { break-after: avoid; }
  table, figcaption, .sign p { font-size: 8pt; }
  p { orphans: 2; widows: 2; }
  figure { flex-basis: 80mm; max-width: 120mm; }
  dl { grid-template-columns: 1fr 1fr 1fr; }
}
"""
