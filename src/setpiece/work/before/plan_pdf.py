"""The plan of the day as a PDF of one page: the parts of the page, on paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from setpiece.plan.drawings.seat import draw_seat
from setpiece.plan.sheet import DaySheet, Manner, Part, parts, subtitle, title
from setpiece.work.paper.drawing import draw
from setpiece.work.paper.page import INK, SANS, SERIF, Paper

LEFT_MM, RIGHT_MM, TOP_MM, FOOT_MM = 11.0, 199.0, 10.0, 288.0
DRAWN_MM, BETWEEN_MM = 96.0, 7.0
COLUMNS = {Manner.PLAIN: 4, Manner.TICKED: 3, Manner.SMALL: 3}
SIZES_PT = {Manner.SMALL: 6.0}
SMALLER = (1.0, 0.94, 0.88, 0.82, 0.76, 0.7)
"""Type is set smaller by these until the page holds everything."""

_QUIET = (80, 80, 80)


def sheet_pdf(sheet: DaySheet) -> bytes:
    """The page. Dated by the kick-off, so the same plan gives the same file."""
    for size in SMALLER:
        page = _Page(sheet, size)
        if page.foot_mm <= FOOT_MM or size == SMALLER[-1]:
            break
        page.let_go()
    return page.finished()


class _Page(Paper):
    """One A4 page, set at once; `foot_mm` is where it ends."""

    def __init__(self, sheet: DaySheet, smaller: float) -> None:
        super().__init__(sheet.fixture.kick_off)
        self.set_title(f"{title(sheet)}: plan of the day")
        self.set_lang("en")
        self.smaller = smaller
        self.add_page()
        made = parts(sheet)
        top = self._head(sheet)
        drawing = draw_seat(sheet.ground, sheet.seats, sheet.sensor, sheet.lenses)
        left = top + draw(self, drawing, LEFT_MM, top, DRAWN_MM)
        left = self._column(made, "left", LEFT_MM, DRAWN_MM, left + 1)
        beside = LEFT_MM + DRAWN_MM + BETWEEN_MM
        right = self._column(made, "right", beside, RIGHT_MM - beside, top)
        self.foot_mm = self._column(
            made, "below", LEFT_MM, RIGHT_MM - LEFT_MM, max(left, right) + 1
        )

    def _type(self, family: str, style: str, size_pt: float, quiet: bool = False) -> float:
        """Sets the type; gives the height of its lines."""
        self.type(family, style, size_pt * self.smaller, _QUIET if quiet else INK)
        return size_pt * self.smaller * 0.46

    def _head(self, sheet: DaySheet) -> float:
        high = self._type(SERIF, "B", 17)
        y = self.words(LEFT_MM, TOP_MM, RIGHT_MM - LEFT_MM, high, title(sheet))
        high = self._type(SERIF, "I", 9, quiet=True)
        y = self.words(LEFT_MM, y + 0.5, RIGHT_MM - LEFT_MM, high, subtitle(sheet)) + 1.5
        for line in (y, y + 0.9):
            self.rule(LEFT_MM, line, RIGHT_MM, 0.3, INK)
        return y + 2.5

    def _column(self, made: Iterable[Part], place: str, x: float, wide: float, top: float) -> float:
        """The parts of one place, one below the other; gives where they end."""
        y = top
        for part in made:
            if part.place == place:
                y = self._part(part, x, wide, y)
        return y

    def _part(self, part: Part, x: float, wide: float, y: float) -> float:
        high = self._type(SERIF, "B", 8.6, quiet=True)
        y = self.words(x, y + 1.2, wide, high, part.name) + 0.3
        self.rule(x, y, x + wide, 0.2)
        y += 0.8
        if part.lead:
            high = self._type(SANS, "", 7.2)
            y = self.words(x, y, wide, high, part.lead) + 0.4
        if part.manner is Manner.TIMES:
            return self._times(part, x, wide, y)
        if part.manner is Manner.TABLE:
            return self._table(part, x, wide, y)
        return self._list(part, x, wide, y)

    def _times(self, part: Part, x: float, wide: float, y: float) -> float:
        for at, what in part.rows:
            high = self._type(SERIF, "B", 8.2)
            self.words(x, y, 13, high, at)
            self._type(SANS, "", 7.4)
            y = self.words(x + 13, y, wide - 13, high, what) + 0.25
        return y + 0.8

    def _table(self, part: Part, x: float, wide: float, y: float) -> float:
        high = self._type(SANS, "", 7.2)
        rows = (part.head, *part.rows) if part.head else part.rows
        widths = [max(self.get_string_width(r[n]) for r in rows) for n in range(len(rows[0]))]
        gap = max(1.0, (wide - sum(widths)) / max(1, len(widths) - 1))
        for row in rows:
            self._type(SANS, "", 7.2, quiet=row is part.head)
            left = x
            for n, (cell, room) in enumerate(zip(row, widths, strict=True)):
                at = left if n == 0 else left + room - self.get_string_width(cell)
                self.text(at, y + 0.75 * high, cell)
                left += room + gap
            y += high + 0.2
        return y + 0.8

    def _list(self, part: Part, x: float, wide: float, y: float) -> float:
        """Items in columns of even height, ticked ones with a box before them."""
        count, gap = COLUMNS.get(part.manner, 3) if wide > DRAWN_MM else 1, 4.0
        high = self._type(SANS, "", SIZES_PT.get(part.manner, 7.2), part.manner is Manner.SMALL)
        room = (wide - gap * (count - 1)) / count
        indent = 3.6 if part.manner is Manner.TICKED else 0.0
        items = [row[0] for row in part.rows]
        heights = [self.words_high(item, room - indent, high) + 0.35 for item in items]
        foot = y
        for column, of_column in enumerate(_shared(items, heights, count)):
            left, at = x + column * (room + gap), y
            for item in of_column:
                if indent:
                    self.set_draw_color(*INK)
                    self.set_line_width(0.2)
                    self.rect(left, at + 0.4, 2.1, 2.1)
                at = self.words(left + indent, at, room - indent, high, item) + 0.35
            foot = max(foot, at)
        return foot + 0.6


def _shared(items: Sequence[str], heights: Sequence[float], count: int) -> list[list[str]]:
    """Items in columns, in order, none much higher than the others."""
    share = sum(heights) / count
    columns: list[list[str]] = [[] for _ in range(count)]
    done = 0.0
    for item, height in zip(items, heights, strict=True):
        place = min(count - 1, int((done + height / 2) / share)) if share else 0
        columns[place].append(item)
        done += height
    return columns
