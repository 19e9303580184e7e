"""The debrief as one page: nothing is loaded from anywhere, no script, print and telephone too."""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import escape as escaped
from itertools import groupby

from setpiece.plan.debrief.debrief import Debrief, standfirst
from setpiece.plan.debrief.findings import Finding
from setpiece.plan.debrief.sections import Block, Lines, Picture, Rows, Section, sections
from setpiece.plan.debrief.style import STYLE
from setpiece.plan.drawings.canvas import STYLE as DRAWN

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
_SCORE = re.compile(r"(?<=\d)–(?=\d)")
_UNIT = re.compile(r"(?<=\d) (?=(?:mm|min|s|h|m)\b)")


def escape(words: str) -> str:
    """Words for the page; scores, ranges and figures with their unit stay on one line."""
    return escaped(_UNIT.sub("\u00a0", _SCORE.sub("\u2060–\u2060", words)))


@dataclass(frozen=True, slots=True)
class Linked:
    """Where a page that is served finds its style sheet, and the way back from it."""

    style: str
    back: str
    back_words: str
    edition: str = ""


def debrief_html(of: Debrief, linked: Linked | None = None) -> str:
    """The page, whole; where it is served, its style comes as a sheet of its own."""
    facts = of.facts
    style = f"<style>{debrief_css(facts.colours)}</style>"
    edition = back = ""
    if linked is not None:
        style = f'<link rel="stylesheet" href="{escape(linked.style)}">'
        edition = f' data-edition="{escape(linked.edition)}"' if linked.edition else ""
        back = f'<a href="{escape(linked.back)}">{escape(linked.back_words)}</a>'
    title = f"{facts.home} {facts.score} {facts.away}"
    return (
        f'<!doctype html>\n<html lang="en"{edition}><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta name="color-scheme" content="light dark">'
        f"<title>Debrief: {escape(title)}</title>{style}</head>"
        f"<body>{_mast(of, back)}<main>{_findings(of.findings)}{_body(of)}</main>"
        f"<footer>{escape(_foot(of))}</footer></body></html>\n"
    )


def debrief_css(colours: tuple[str, str]) -> str:
    """The whole style sheet, with the colours of the sides' kits (`#rrggbb`, or empty)."""
    kits = (
        f".{side}{{fill:{colour}}}"
        for side, colour in zip(("home", "away"), colours, strict=True)
        if _COLOUR.fullmatch(colour)
    )
    return f"{DRAWN}{STYLE}{''.join(kits)}"


def _mast(of: Debrief, back: str) -> str:
    facts = of.facts
    return (
        f'<header><div class="folio"><span>{escape(facts.day)}</span>'
        f"<span>{escape(facts.folio)}</span>"
        f"<span>{back}Debrief</span></div>"
        f"<h1>{_shirt('home')} {escape(facts.home)} <span>{escape(facts.score)}</span> "
        f"{escape(facts.away)} {_shirt('away')}</h1>"
        f'<p class="standfirst">{escape(standfirst(of))}</p></header>'
    )


def _shirt(side: str) -> str:
    return (
        f'<svg class="shirt {side}" viewBox="0 0 16 16" aria-hidden="true"><path d="M5.2 1.2 1 3.6l'
        '1.6 3.6 2-.9v8.5h6.8V6.3l2 .9L15 3.6l-4.2-2.4C10.2 3 5.8 3 5.2 1.2Z"/></svg>'
    )


def _findings(found: tuple[Finding, ...]) -> str:
    if not found:
        return ""
    stories = "".join(
        f'<article><p class="figure">{escape(f.figure)}</p><h2>{escape(f.title)}</h2>'
        f"<p>{escape(f.text)}</p></article>"
        for f in found
    )
    return f'<section class="findings" aria-label="Findings">{stories}</section>'


def _body(of: Debrief) -> str:
    """Whole sections across the page; those of the left and the right in two columns."""
    parts = []
    for whole, of_kind in groupby(sections(of), key=lambda s: s.place == "whole"):
        group = list(of_kind)
        if whole:
            parts += [_section(s) for s in group]
            continue
        sides = (
            "".join(_section(s) for s in group if s.place == side) for side in ("left", "right")
        )
        parts.append(f'<div class="two">{"".join(f"<div>{s}</div>" for s in sides)}</div>')
    return "".join(parts)


def _section(of: Section) -> str:
    lead = f'<p class="lead">{escape(of.lead)}</p>' if of.lead else ""
    blocks = "".join(_block(b) for b in of.blocks)
    if of.together:
        blocks = f'<div class="together">{blocks}</div>'
    return (
        f'<section class="{of.name}" id="{of.name}"><h2>{escape(of.title)}</h2>{lead}{blocks}'
        "</section>"
    )


def _block(block: Block) -> str:
    match block:
        case Picture(wide, narrow):
            drawn = wide.svg(alone=False)
            if not narrow:
                return f"<figure>{drawn}</figure>"
            small = "".join(one.svg(alone=False) for one in narrow)
            return f'<figure class="wide">{drawn}</figure><figure class="narrow">{small}</figure>'
        case Rows():
            return _table(block)
        case Lines(lines) if not any(term for term, _ in lines):
            return "".join(f'<p class="alone">{escape(words)}</p>' for _, words in lines)
        case Lines(lines):
            return f"<dl>{''.join(_line(term, words) for term, words in lines)}</dl>"


def _line(term: str, words: str) -> str:
    return f"<dt>{escape(term)}</dt><dd>{escape(words)}</dd>"


def _table(table: Rows) -> str:
    def cell(tag: str, column: int, words: str) -> str:
        kinds = []
        if column in table.figures:
            kinds.append("n")
        if table.minutes and column == 0:
            kinds.append("minute")
        if words.startswith("✗"):
            kinds.append("wrong-word")
        of_kind = f' class="{" ".join(kinds)}"' if kinds else ""
        return f"<{tag}{of_kind}>{escape(words)}</{tag}>"

    head = "".join(cell("th", n, words) for n, words in enumerate(table.head))
    body = "".join(
        "<tr>" + "".join(cell("td", n, words) for n, words in enumerate(row)) + "</tr>"
        for row in table.rows
    )
    whole = f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    return f'<div class="scroll">{whole}</div>'


def _foot(of: Debrief) -> str:
    name = f"For {of.facts.photographer} alone. " if of.facts.photographer else ""
    return name + "How the findings are made: docs/debrief.md."
