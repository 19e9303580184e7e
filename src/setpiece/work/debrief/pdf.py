"""The debrief as a PDF: the sections of the page, on paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from setpiece.plan.debrief.debrief import Debrief, standfirst
from setpiece.plan.debrief.sections import Block, Lines, Picture, Rows, Section, sections
from setpiece.work.paper.drawing import draw
from setpiece.work.paper.page import INK, RULE, SANS, SERIF, Paper

LEFT_MM, RIGHT_MM, TOP_MM, FOOT_MM = 14.0, 196.0, 13.0, 284.0
BETWEEN_MM = 8.0
SOFT, QUIET = (45, 45, 45), (95, 95, 95)
BRICK = (125, 42, 23)


class _Page(Paper):
    """Pages that are gone back to: of two columns, each may run on to the next page."""

    def go_to(self, number: int) -> None:
        """Writes on that page from now on; each page's stream has a state of its own to set."""
        if number != self.page:
            self.page, self.font_family = number, ""
            self.set_fill_color(255, 255, 255)
            self.set_draw_color(0, 0, 0)
            self.set_line_width(0.2)
            self.set_dash_pattern()


@dataclass
class _Column:
    """A column of the page, and how far it is filled."""

    pdf: _Page
    x: float
    width: float
    page: int
    y: float

    def room_for(self, high: float) -> None:
        """Goes on at the top of the next page where so much does not fit."""
        if self.y + high > FOOT_MM:
            self.page, self.y = self.page + 1, TOP_MM
            if self.page > self.pdf.pages_count:
                self.pdf.add_page()
        self.pdf.go_to(self.page)


def debrief_pdf(of: Debrief, at: datetime) -> bytes:
    """The debrief on paper; `at` dates the file inside."""
    pdf = _Page(at)
    pdf.set_margins(LEFT_MM, TOP_MM, pdf.w - RIGHT_MM)
    pdf.add_page()
    y = _mast(pdf, of)
    y = _findings(pdf, of, y)
    column = _Column(pdf, LEFT_MM, RIGHT_MM - LEFT_MM, 1, y)
    for whole, of_kind in groupby(sections(of), key=lambda s: s.place == "whole"):
        group = list(of_kind)
        if whole:
            for section in group:
                _section(column, section)
        else:
            _two(pdf, column, group)
    for number in range(1, pdf.pages_count + 1):
        pdf.go_to(number)
        pdf.type(SERIF, "I", 7.5, QUIET)
        pdf.text(LEFT_MM, 291, f"{of.facts.home} {of.facts.score} {of.facts.away}, {of.facts.day}")
        pdf.text(RIGHT_MM - 4, 291, str(number))
    return pdf.finished()


def _mast(pdf: _Page, of: Debrief) -> float:
    facts = of.facts
    wide = RIGHT_MM - LEFT_MM
    pdf.type(SERIF, "I", 8.5, QUIET)
    pdf.text(LEFT_MM, 15, facts.day)
    folio = facts.folio
    pdf.text((LEFT_MM + RIGHT_MM - pdf.get_string_width(folio)) / 2, 15, folio)
    pdf.type(SERIF, "B", 8.5, INK)
    pdf.text(RIGHT_MM - pdf.get_string_width("Debrief"), 15, "Debrief")
    pdf.rule(LEFT_MM, 17, RIGHT_MM, 0.25, INK)
    pdf.type(SERIF, "B", 25, INK)
    title = f"{facts.home}  {facts.score}  {facts.away}"
    pdf.text((LEFT_MM + RIGHT_MM - pdf.get_string_width(title)) / 2, 28, title)
    for y in (32.4, 33.4):
        pdf.rule(LEFT_MM, y, RIGHT_MM, 0.3, INK)
    pdf.type(SERIF, "", 10.5, SOFT)
    return pdf.words(LEFT_MM + 22, 36.5, wide - 44, 5.2, standfirst(of), "C") + 3.5


def _findings(pdf: _Page, of: Debrief, y: float) -> float:
    if not of.findings:
        return y
    pdf.rule(LEFT_MM, y, RIGHT_MM, 0.2, RULE)
    gap, count = 6.0, len(of.findings)
    wide = (RIGHT_MM - LEFT_MM - gap * (count - 1)) / count
    foot = y
    for n, found in enumerate(of.findings):
        x = LEFT_MM + n * (wide + gap)
        pdf.type(SERIF, "B", 17, BRICK)
        pdf.text(x, y + 8.2, found.figure)
        pdf.type(SERIF, "B", 10, INK)
        at = pdf.words(x, y + 10.6, wide, 4.5, found.title)
        pdf.type(SERIF, "", 9, SOFT)
        foot = max(foot, pdf.words(x, at + 0.8, wide, 4.3, found.text))
    for n in range(1, count):
        x = LEFT_MM + n * (wide + gap) - gap / 2
        pdf.set_draw_color(*RULE)
        pdf.line(x, y + 2.5, x, foot)
    pdf.rule(LEFT_MM, foot + 2.5, RIGHT_MM, 0.2, RULE)
    return foot + 3.5


def _two(pdf: _Page, column: _Column, group: list[Section]) -> None:
    """Two columns side by side; what follows stands below the longer."""
    wide = (column.width - BETWEEN_MM) / 2
    ends = []
    for place, x in (("left", column.x), ("right", column.x + wide + BETWEEN_MM)):
        one = _Column(pdf, x, wide, column.page, column.y)
        for section in group:
            if section.place == place:
                _section(one, section)
        ends.append((one.page, one.y))
    column.page, column.y = max(ends)


def _section(column: _Column, of: Section) -> None:
    pdf = column.pdf
    column.room_for(12.0 + (_high(column, of.blocks[0]) if of.blocks else 0.0))
    column.y += 4.0
    pdf.type(SERIF, "B", 11.5, INK)
    column.y = pdf.words(column.x, column.y, column.width, 5.2, of.title) + 0.6
    pdf.rule(column.x, column.y, column.x + column.width, 0.25, INK)
    column.y += 1.4
    if of.lead:
        pdf.type(SERIF, "I", 8.8, QUIET)
        column.y = pdf.words(column.x, column.y, column.width, 4.3, of.lead) + 0.8
    if of.together:
        _together(column, of.blocks)
        return
    for block in of.blocks:
        _block(column, block)


def _together(column: _Column, blocks: tuple[Block, ...]) -> None:
    """Drawings side by side."""
    drawings = [b.wide for b in blocks if isinstance(b, Picture)]
    gap = 5.0
    wide = (column.width - gap * (max(4, len(drawings)) - 1)) / max(4, len(drawings))
    high = 0.0
    for n, drawing in enumerate(drawings):
        x = column.x + n * (wide + gap)
        high = max(high, draw(column.pdf, drawing, x, column.y + 1, wide))
    column.y += high + 2


def _high(column: _Column, block: Block) -> float:
    """How much room a block wants at once: a table begins with two rows."""
    if isinstance(block, Picture):
        return block.wide.height * column.width / block.wide.width
    return 12.0


def _block(column: _Column, block: Block) -> None:
    match block:
        case Picture(wide):
            column.room_for(_high(column, block))
            column.y += draw(column.pdf, wide, column.x, column.y + 0.6, column.width) + 1.6
        case Rows():
            _table(column, block)
        case Lines(lines):
            for term, words in lines:
                _line(column, term, words)


def _line(column: _Column, term: str, words: str) -> None:
    pdf = column.pdf
    pdf.type(SERIF, "B", 9, INK)
    indent = max(11.0, pdf.get_string_width(term) + 3) if term else 0.0
    family, size = (SERIF, 9.0) if term else (SANS, 7.8)
    pdf.set_font(family, "", size)
    column.room_for(pdf.words_high(words, column.width - indent, 4.3))
    pdf.type(SERIF, "B", 9, INK)
    if term:
        pdf.words(column.x, column.y, indent, 4.3, term)
    pdf.type(family, "", size, SOFT if term else QUIET)
    column.y = pdf.words(column.x + indent, column.y, column.width - indent, 4.3, words) + 1.0


def _table(column: _Column, table: Rows) -> None:
    widths = _widths(column, table)
    _row(column, table, widths, table.head, head=True)
    for row in table.rows:
        _row(column, table, widths, row)
    column.y += 2.0


def _widths(column: _Column, table: Rows) -> list[float]:
    """Each column as wide as its longest cell, the widest one taking what is left."""
    pdf = column.pdf
    pdf.set_font(SANS, "", 8)
    natural = [
        max(pdf.get_string_width(row[n]) for row in (table.head, *table.rows)) + 3.5
        for n in range(len(table.head))
    ]
    free = column.width - sum(natural)
    if free >= 0:
        widest = natural.index(max(natural))
        natural[widest] += free
        return natural
    return _fitted(natural, column.width)


def _fitted(natural: list[float], width: float) -> list[float]:
    """The widths cut at one limit, the same for all that reach it, so that they fit."""
    low, high = 0.0, max(natural)
    for _ in range(40):
        limit = (low + high) / 2
        low, high = (limit, high) if sum(min(w, limit) for w in natural) < width else (low, limit)
    return [min(w, low) for w in natural]


def _row(
    column: _Column, table: Rows, widths: list[float], row: tuple[str, ...], *, head: bool = False
) -> None:
    pdf = column.pdf
    pdf.set_font(SANS, "", 8)
    cells = [words.replace("✗", "×") for words in row]
    high = max(pdf.words_high(words, w - 2.0, 3.9) for words, w in zip(cells, widths, strict=True))
    column.room_for(high + 1.4)
    x, top = column.x, column.y + 0.7
    for n, (words, wide) in enumerate(zip(cells, widths, strict=True)):
        figures = n in table.figures
        if head:
            pdf.type(SERIF, "", 7.6, QUIET)
        elif table.minutes and n == 0:
            pdf.type(SERIF, "B", 8.6, INK)
        elif words.startswith("×"):
            pdf.type(SANS, "B", 8, BRICK)
        else:
            pdf.type(SANS, "", 8, SOFT)
        last = n == len(cells) - 1
        pdf.words(x, top, wide if last else wide - 2.0, 3.9, words, "R" if figures else "L")
        x += wide
    column.y += high + 1.4
    pdf.rule(column.x, column.y, column.x + column.width, 0.15, RULE)
