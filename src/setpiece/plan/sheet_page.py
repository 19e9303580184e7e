"""The plan of the day as a page of HTML that prints on one sheet of A4.

On a phone it reads in one column. Nothing is loaded from anywhere, unless a page of styles is
named: then nothing is written into it either.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from setpiece.plan.drawings.canvas import STYLE
from setpiece.plan.drawings.seat import draw_seat
from setpiece.plan.sheet import DaySheet, Manner, Part, parts, subtitle, title

SHEET_STYLE = """
@page{size:A4;margin:9mm}
*{box-sizing:border-box}
:root{--ink-0:#191b18;--ink-1:#40443c;--ink-2:#6a6e63;--paper-0:#f7f3e9;--paper-1:#fffdf6;
--line-0:#d3ccb9}
body{margin:0 auto;padding:14px 18px;max-width:210mm;background:var(--paper-0);color:var(--ink-0);
font:12px/1.36 "Noto Sans","Segoe UI",system-ui,-apple-system,sans-serif;
font-variant-numeric:lining-nums tabular-nums}
h1,h2,header p,.times td:first-child{font-family:"Iowan Old Style","Palatino Linotype",Palatino,
"Noto Serif",Georgia,serif}
header{border-bottom:3px double var(--ink-0);padding-bottom:5px;margin-bottom:9px}
h1{font-size:21px;line-height:1.15;margin:0}
header p{margin:2px 0 0;font-style:italic;color:var(--ink-2);font-size:13px}
h2{font-size:13px;font-weight:600;font-variant-caps:all-small-caps;letter-spacing:.06em;
color:var(--ink-2);margin:9px 0 2px;border-bottom:1px solid var(--line-0)}
main section:first-child h2{margin-top:0}
section p{margin:2px 0}
main{display:grid;grid-template-columns:1.12fr 1fr;gap:0 18px}
.plan{width:100%;height:auto;display:block}
table{border-collapse:collapse;width:100%}
th{font-weight:400;color:var(--ink-2);text-align:left}
td,th{padding:1px 8px 1px 0;vertical-align:baseline}
td.n,th.n{text-align:right;padding-right:0;padding-left:8px}
.times td:first-child{font-size:13.5px;font-weight:600;width:3.6em}
main .plain{columns:1}
ul{list-style:none;margin:0;padding:0}
li{padding:.5px 0}
.shots,.plain{columns:4;column-gap:16px}
.plain li{break-inside:avoid}
.shots li{break-inside:avoid;padding-left:15px;text-indent:-15px}
.shots li::before{content:"";display:inline-block;width:8px;height:8px;margin-right:7px;
border:1px solid var(--ink-0)}
.quiet{color:var(--ink-2)}
.cautions{font-size:10.5px;line-height:1.3;color:var(--ink-1);columns:2;column-gap:18px}
.cautions li{break-inside:avoid;padding-bottom:1.5px}
@media (max-width:640px){body{font-size:14px}main{display:block}.shots,.plain,.cautions{columns:1}
.cautions{font-size:12px}}
@media print{:root{--ink-0:#000;--ink-1:#222;--ink-2:#444;--paper-0:#fff;--paper-1:#fff;
--paper-2:#f0f0f0;
--line-0:#bbb}body{padding:0;max-width:none;font-size:7.6pt;line-height:1.28}.cautions{font-size:6.2pt;columns:3}
h2{margin:6px 0 1px;font-size:8.4pt}header{margin-bottom:6px}.shots{font-size:7.2pt}
.times td:first-child{font-size:8.6pt}}
"""


def sheet_html(sheet: DaySheet, *, styles: Iterable[str] = ()) -> str:
    """The page, whole. With `styles` it links those instead of bringing its own."""
    drawing = draw_seat(sheet.ground, sheet.seats, sheet.sensor, sheet.lenses)
    made = parts(sheet)
    left, right, below = (
        "".join(_part(p) for p in made if p.place == place) for place in ("left", "right", "below")
    )
    links = "".join(f'<link rel="stylesheet" href="{escape(name)}">' for name in styles)
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title(sheet))}: plan of the day</title>"
        f"{links or f'<style>{SHEET_STYLE}{STYLE}</style>'}</head>"
        f"<body><header><h1>{escape(title(sheet))}</h1><p>{escape(subtitle(sheet))}</p></header>"
        f"<main><div>{drawing.svg(alone=False)}{left}</div><div>{right}</div></main>"
        f"{below}</body></html>\n"
    )


def _part(part: Part) -> str:
    """A titled part: a table, or a list."""
    lead = f"<p>{escape(part.lead)}</p>" if part.lead else ""
    if part.manner in (Manner.TABLE, Manner.TIMES):
        body = _table(part)
    else:
        items = "".join(f"<li>{escape(row[0])}</li>" for row in part.rows)
        body = f'<ul class="{part.manner}">{items}</ul>'
    return f"<section><h2>{escape(part.name)}</h2>{lead}{body}</section>"


def _table(part: Part) -> str:
    """A small table: the first column text, the others figures; times the other way about."""
    figures = "" if part.manner is Manner.TIMES else ' class="n"'

    def row(cells: tuple[str, ...], tag: str) -> str:
        made = (
            f"<{tag}{figures if n else ''}>{escape(cell)}</{tag}>" for n, cell in enumerate(cells)
        )
        return f"<tr>{''.join(made)}</tr>"

    head = row(part.head, "th") if part.head else ""
    return f'<table class="{part.manner}">{head}{"".join(row(r, "td") for r in part.rows)}</table>'
