"""Our own drawings on a page of PDF: the few shapes that `plan/drawings/canvas.py` makes.

The classes are resolved by the very style sheets that a browser gets, with the colours of paper.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from xml.etree import ElementTree

from fpdf import FPDF

from setpiece.plan.debrief.style import STYLE
from setpiece.plan.drawings.canvas import STYLE as DRAWN
from setpiece.plan.drawings.canvas import Drawing

SERIF, SANS = "NotoSerif", "NotoSans"
PAPER = {
    "--p-ink": "#000000", "--p-soft": "#1c1c1c", "--p-quiet": "#4a4a4a", "--p-faint": "#8c8c8c",
    "--p-page": "#ffffff", "--p-open": "#ffffff", "--p-shade": "#e6e6e6", "--p-rule": "#bdbdbd",
    "--p-green": "#1f4f28", "--p-ochre": "#6b4600", "--p-brick": "#7d2a17",
}  # fmt: skip
"""The colours of the page on paper."""

_RULE = re.compile(r"\.plan ((?:\.[\w-]+(?:,\.plan )?)+|text)\{([^}]*)\}")
_PX_TO_PT = 72 / 25.4  # a drawing's unit is drawn `scale` millimetres long


def draw(pdf: FPDF, drawing: Drawing, x_mm: float, y_mm: float, width_mm: float) -> float:
    """Draws it so wide at that place of the page; gives its height in millimetres."""
    scale = width_mm / drawing.width
    root = ElementTree.fromstring(f"<svg>{drawing.body}</svg>")
    _Pen(pdf, x_mm, y_mm, scale).children(root)
    return drawing.height * scale


@cache
def _rules() -> Mapping[str, Mapping[str, str]]:
    """What each class sets, later sheets over earlier ones."""
    found: dict[str, dict[str, str]] = {}
    for selectors, body in _RULE.findall(DRAWN + STYLE):
        given = dict(part.split(":", 1) for part in body.replace("\n", "").split(";") if part)
        for selector in selectors.split(","):
            name = selector.replace(".plan ", "").lstrip(".")
            found.setdefault(name, {}).update(given)
    return found


def _style(classes: str, *, text: bool = False) -> dict[str, str]:
    given: dict[str, str] = {}
    for name in (*(("text",) if text else ()), *classes.split()):
        given.update(_rules().get(name, {}))
    return given


def _colour(value: str) -> tuple[int, int, int] | None:
    value = re.sub(r"var\((--[\w-]+)[^)]*\)", lambda m: PAPER.get(m[1], "#000000"), value)
    if not re.fullmatch(r"#[0-9a-f]{6}", value):
        return None
    return int(value[1:3], 16), int(value[3:5], 16), int(value[5:7], 16)


class _Pen:
    """Draws the elements of one drawing at its place."""

    def __init__(self, pdf: FPDF, x_mm: float, y_mm: float, scale: float) -> None:
        self.pdf, self.x_mm, self.y_mm, self.scale = pdf, x_mm, y_mm, scale

    def children(self, of: ElementTree.Element) -> None:
        for element in of:
            if element.tag == "g":
                self.children(element)
            elif element.tag == "text":
                self._text(element)
            else:
                self._shape(element)

    def _x(self, value: str | float) -> float:
        return self.x_mm + float(value) * self.scale

    def _y(self, value: str | float) -> float:
        return self.y_mm + float(value) * self.scale

    def _shape(self, element: ElementTree.Element) -> None:
        style = _style(element.get("class", ""))
        fill, stroke = (_colour(style.get(k, "none")) for k in ("fill", "stroke"))
        mode = ("D" if stroke else "") + ("F" if fill else "")
        if not mode:
            return
        if fill:
            self.pdf.set_fill_color(*fill)
        if stroke:
            self.pdf.set_draw_color(*stroke)
        self.pdf.set_line_width(float(style.get("stroke-width", "1")) * self.scale)
        dashes = [float(d) * self.scale for d in style.get("stroke-dasharray", "").split()]
        self.pdf.set_dash_pattern(*(dashes[:2] if len(dashes) >= 2 else (0, 0)))
        opacity = {
            "fill_opacity": float(style.get("fill-opacity", "1")),
            "stroke_opacity": float(style.get("stroke-opacity", "1")),
        }
        with self.pdf.local_context(**opacity):
            self._outline(element, mode)
        self.pdf.set_dash_pattern()

    def _outline(self, element: ElementTree.Element, mode: str) -> None:
        get = element.attrib
        match element.tag:
            case "line":
                self.pdf.line(self._x(get["x1"]), self._y(get["y1"]),
                              self._x(get["x2"]), self._y(get["y2"]))  # fmt: skip
            case "rect":
                wide, high = (float(get[k]) * self.scale for k in ("width", "height"))
                if wide > 0 and high > 0:
                    self.pdf.rect(self._x(get["x"]), self._y(get["y"]), wide, high, style=mode)
            case "circle":
                self.pdf.circle(self._x(get["cx"]), self._y(get["cy"]),
                                float(get["r"]) * self.scale, style=mode)  # fmt: skip
            case "path":
                pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", get["d"])
                points = [(self._x(a), self._y(b)) for a, b in pairs]
                if get["d"].rstrip().endswith("Z"):
                    self.pdf.polygon(points, style=mode)
                else:
                    self.pdf.polyline(points, style="D")

    def _text(self, element: ElementTree.Element) -> None:
        style = _style(element.get("class", ""), text=True)
        words = element.text or ""
        font, size_px = style.get("font", ""), 11.0
        if found := re.search(r"([\d.]+)px", style.get("font-size", "") + " " + font):
            size_px = float(found[1])
        bold = "B" if "600" in font or style.get("font-weight") == "600" else ""
        self.pdf.set_font(SERIF if "--p-print" in font else SANS, bold,
                          size_px * self.scale * _PX_TO_PT)  # fmt: skip
        self.pdf.set_text_color(*(_colour(style.get("fill", "")) or (0, 0, 0)))
        x, y = self._x(element.get("x", "0")), self._y(element.get("y", "0"))
        shift = {"middle": 0.5, "end": 1.0}.get(element.get("text-anchor", ""), 0.0)
        turn = re.match(r"rotate\((-?[\d.]+)", element.get("transform", ""))
        left = x - shift * self.pdf.get_string_width(words)
        if turn:
            with self.pdf.rotation(-float(turn[1]), x, y):
                self.pdf.text(left, y, words)
        else:
            self.pdf.text(left, y, words)
