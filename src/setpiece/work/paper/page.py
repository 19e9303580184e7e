"""A page of A4 in our type, by fpdf2: what invoice, plan of the day and debrief have in common.

Noto Serif and Noto Sans, cut down to European letters (`fonts/`, the licence beside them).
"""

from __future__ import annotations

from datetime import datetime
from importlib.resources import files

from fpdf import FPDF
from fpdf.enums import MethodReturnValue
from fpdf.fonts import TTFFont

SERIF, SANS = "NotoSerif", "NotoSans"
Colour = tuple[int, int, int]
INK, RULE = (0, 0, 0), (185, 185, 185)

_FACES = (
    (SERIF, "", "NotoSerif-Regular"), (SERIF, "B", "NotoSerif-Bold"),
    (SERIF, "I", "NotoSerif-Italic"), (SANS, "", "NotoSans-Regular"), (SANS, "B", "NotoSans-Bold"),
)  # fmt: skip


class Paper(FPDF):
    """Pages of A4. `dated` is the document's own time, so the same facts give the same file."""

    def __init__(self, dated: datetime) -> None:
        super().__init__(format="A4")
        fonts = files("setpiece.work.paper").joinpath("fonts")
        for family, style, name in _FACES:
            self.add_font(family, style, str(fonts.joinpath(f"{name}.ttf")))
        self.set_creation_date(dated)
        self.set_auto_page_break(False)
        self.c_margin = 0

    def normalize_text(self, text: str) -> str:
        """Text as it is set: a dash for the sign of minus, which Noto keeps in another typeface."""
        return super().normalize_text(text.replace("\N{MINUS SIGN}", "\N{EN DASH}"))

    def finished(self) -> bytes:
        """The document. Nothing can be written on it any more."""
        made = bytes(self.output())
        self.let_go()
        return made

    def let_go(self) -> None:
        """Closes the files of the typefaces, which fpdf2 leaves open."""
        for face in self.fonts.values():
            if isinstance(face, TTFFont):
                face.close()

    def type(self, family: str, style: str, size_pt: float, colour: Colour) -> None:
        """Sets the type for what is written next."""
        self.set_font(family, style, size_pt)
        self.set_text_color(*colour)

    def words(
        self, x: float, y: float, width_mm: float, line_mm: float, words: str, align: str = "L"
    ) -> float:
        """Writes words into a column; gives where they end."""
        self.set_xy(x, y)
        self.multi_cell(width_mm, line_mm, words, align=align)
        return self.get_y()

    def words_high(self, words: str, width_mm: float, line_mm: float) -> float:
        """How high words stand in a column of that width."""
        high = self.multi_cell(width_mm, line_mm, words, align="L", dry_run=True,
                               output=MethodReturnValue.HEIGHT)  # fmt: skip
        assert isinstance(high, float | int)
        return high

    def rule(self, x0: float, y: float, x1: float, wide: float, colour: Colour = RULE) -> None:
        """A line across."""
        self.set_draw_color(*colour)
        self.set_line_width(wide)
        self.line(x0, y, x1, y)
