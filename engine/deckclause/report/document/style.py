"""How documents look on a screen, in the dark and on paper."""

from __future__ import annotations

STYLE = """
:root { color-scheme: light dark; --ink: #17212b; --paper: #ffffff; --faint: #55606b;
  --line: #8b96a1; --band: #eef2f6; --link: #0b4f8a; --own: #f6f1e4; --warn: #fff4e0; }
@media (prefers-color-scheme: dark) { :root { --ink: #e8edf2; --paper: #12181f; --faint: #b3bec9;
  --line: #5d6975; --band: #1d2731; --link: #8cc4ff; --own: #2a2518; --warn: #33270f; } }
* { box-sizing: border-box; }
html { font: 16px/1.5 "Source Sans 3", "DejaVu Sans", Verdana, Helvetica, Arial, sans-serif; }
body { margin: 0; color: var(--ink); background: var(--paper); }
.skip { position: absolute; left: -100vw; padding: 0.5rem 1rem; background: var(--paper);
  color: var(--link); border: 2px solid currentColor; z-index: 2; }
.skip:focus { left: 0.5rem; top: 0.5rem; }
header, nav, main, footer { max-width: 76rem; margin: 0 auto; padding: 0.75rem 1.25rem; }
h1 { font-size: 1.9rem; line-height: 1.2; margin: 0.5rem 0; }
h2 { font-size: 1.4rem; margin: 2rem 0 0.5rem; border-bottom: 2px solid var(--line); }
h3 { font-size: 1.15rem; margin: 1.4rem 0 0.4rem; }
h4 { font-size: 1rem; margin: 1rem 0 0.3rem; }
p { margin: 0.5rem 0; max-width: 46rem; }
a { color: var(--link); }
a:focus-visible, .scroll:focus-visible { outline: 3px solid var(--link);
  outline-offset: 2px; }
nav ul { columns: 2; padding-left: 1.2rem; }
.note { color: var(--faint); }
.caution { border-left: 6px double var(--ink); background: var(--warn); padding: 0.5rem 0.9rem; }
.applicant { background: var(--own); border-left: 3px solid var(--line); padding: 0.4rem 0.9rem;
  white-space: pre-line; }
.applicant::before { content: "Applicant: "; font-weight: bold; }
.applicant[data-mark]::before { content: attr(data-mark) " "; }
.unwritten { border: 1px dashed var(--ink); padding: 0 0.35rem; font-style: italic; }
.scroll { overflow-x: auto; margin: 0.6rem 0 1rem; }
table { border-collapse: collapse; font-size: 0.88rem; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: bold; padding: 0.3rem 0; }
th, td { border: 1px solid var(--line); padding: 0.25rem 0.45rem; text-align: left;
  vertical-align: top; }
thead th { background: var(--band); }
tbody th { font-weight: 600; }
tr.group th { background: var(--band); letter-spacing: 0.04em; }
tr.prose th { letter-spacing: 0; font-weight: normal; }
td.fails { border: 3px solid var(--ink); font-weight: bold; }
td.engineer { border: 2px dashed var(--ink); }
td.ask { border: 2px dotted var(--ink); }
td.silent, td.none { color: var(--faint); font-style: italic; }
dl { display: grid; grid-template-columns: minmax(9rem, 16rem) 1fr; gap: 0.15rem 1rem; }
dt { color: var(--faint); }
dd { margin: 0; white-space: pre-line; overflow-wrap: anywhere; }
figure { margin: 1rem 0; }
figure.bound img { max-width: 100%; height: auto; }
figure svg { max-width: 100%; height: auto; background: #ffffff; }
figcaption { color: var(--faint); font-size: 0.9rem; }
figure.upright svg { max-height: var(--most); width: 100%; }
.redline { border-left: 3px solid var(--line); padding: 0.3rem 0.9rem; }
del { text-decoration: line-through; } ins { text-decoration: underline; font-weight: bold; }
.signature { border: 1px solid var(--line); padding: 0.8rem; margin: 0.8rem 0; max-width: 40rem;
  break-inside: avoid; }
.signature span { display: block; margin-top: 1.6rem; border-top: 1px solid var(--ink);
  padding-top: 0.1rem; font-size: 0.85rem; }
footer { color: var(--faint); font-size: 0.85rem; border-top: 1px solid var(--line); }
@media (max-width: 40rem) { nav ul { columns: 1; } dl { grid-template-columns: 1fr; }
  dd { margin-bottom: 0.4rem; } }
"""

PAPER_STYLE = """
@page { size: letter; margin: 0.75in 0.75in 0.8in; @bottom-left { content: string(foot);
  font: 8pt "Liberation Sans", Arial, sans-serif; color: #444; width: 80%; }
  @bottom-right { content: "page " counter(page) " of " counter(pages);
  font: 8pt "Liberation Sans", Arial, sans-serif; color: #444; }
  @top-left { content: string(head); font: 8pt "Liberation Sans", Arial, sans-serif; color: #444; } }
@page:first { @top-left { content: none; } }
@page wide { size: letter landscape; margin: 0.65in 0.7in 0.7in; }
:root { --ink: #17212b; --paper: #ffffff; --faint: #46505a; --line: #8b96a1; --band: #eef2f6;
  --link: #17212b; --own: #f6f1e4; --warn: #fff4e0; }
html { font: 9.5pt/1.32 "Liberation Sans", Arial, Helvetica, sans-serif; }
header, nav, main, footer { max-width: none; padding: 0; }
h1 { font-size: 18pt; } h2 { font-size: 13pt; break-after: avoid; margin-top: 1.3rem; }
h3 { font-size: 11pt; break-after: avoid; } h4 { break-after: avoid; }
ul { margin: 0.4rem 0; padding-left: 1.3rem; } p { max-width: none; }
.skip, nav.screen { display: none; }
.foot { string-set: foot content(); } .head { string-set: head content(); }
.foot, .head { font-size: 0; line-height: 0; color: transparent; }
.page-break { break-before: page; }
nav ul { columns: 1; list-style: none; padding: 0; }
nav a::after { content: leader(".") target-counter(attr(href), page); }
.scroll { overflow: visible; }
.wide { page: wide; } .fresh { break-before: page; }
table { font-size: 8pt; width: 100%; table-layout: fixed; line-height: 1.25; }
th, td { padding: 0.15rem 0.35rem; }
.applicant { padding: 0.25rem 0.7rem; margin: 0.3rem 0; }
dl { grid-template-columns: 1.6in 1fr; margin: 0.4rem 0; }
thead { display: table-header-group; }
caption { break-after: avoid; }
td, th { overflow-wrap: break-word; }
td { hyphens: none; } tr { break-inside: avoid; }
tr.group { break-after: avoid; } tr.group th { letter-spacing: 0; }
p.note { break-inside: avoid; } h2 + p.note, h3 + p.note, h2 + p.note + p.note { break-after: avoid; }
tbody tr:first-child, tbody tr:nth-last-child(2) { break-after: avoid; }
a { text-decoration: none; }
figure { break-inside: avoid; margin: 0.5rem 0; } figure svg { max-height: 6.2in; }
figure.scaled { margin: 0; }
figure.scaled svg { display: block; width: var(--width); max-width: none; max-height: none; }
figure.bound img { max-height: 6in; } figcaption, .signature span { font-size: 8.5pt; }
.signature { max-width: none; padding: 0.5rem 0.8rem; margin: 0.5rem 0; }
.signature span { margin-top: 1.25rem; }
.signature.small { display: inline-block; width: 31.5%; margin-right: 1%; vertical-align: top; }
footer { display: none; }
"""

PRINT_STYLE = "@media print {" + PAPER_STYLE.split(":root", 1)[1].split("}", 1)[1] + "}"
"""The same for a browser's own printing, without the page margins only a PDF writer knows."""

SHEET_STYLE = """
@page { margin: 0.5in 0.6in 0.6in; }
@media print { html { font-size: 8.5pt; } }
h1 { margin: 0 0 0.2rem; font-size: 17pt; } h2 { margin: 0.6rem 0 0.2rem; font-size: 11pt; }
p, ul, figure { margin: 0.2rem 0; } dl { margin: 0.2rem 0; }
"""
"""A sheet to hand out: all of it on one page."""

STATUS_CLASS = {
    "complies": "ok",
    "does not comply": "fails",
    "engineering required": "engineer",
    "information missing": "ask",
    "not applicable": "none",
    "not regulated": "silent",
}
"""Borders, weight and slant beside the words: never colour alone."""
