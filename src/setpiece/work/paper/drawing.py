"""Our drawings for a page of PDF: plain SVG that fpdf2 draws, black on white.

Classes become attributes by the style sheets that a browser gets, with the colours of paper, and
hatching becomes clipped lines, since fpdf2 knows neither.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from math import cos, radians, sin
from types import MappingProxyType
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from fpdf import FPDF
from fpdf.drawing import ClippingPath, GraphicsContext
from fpdf.drawing_primitives import Transform
from fpdf.enums import IntersectionRule
from fpdf.svg import SVGObject, svg_path_converter

from setpiece.plan.debrief.style import STYLE as DEBRIEF
from setpiece.plan.drawings.canvas import STYLE, Drawing
from setpiece.work.paper.page import SANS, SERIF

PAPER: Mapping[str, str] = MappingProxyType(
    {
        "ink": "#000000", "soft": "#1c1c1c", "quiet": "#4a4a4a", "faint": "#8c8c8c",
        "page": "#ffffff", "open": "#ffffff", "shade": "#ececec", "rule": "#bdbdbd",
        "green": "#1f4f28", "ochre": "#6b4600", "brick": "#7d2a17", "shadow": "#000000",
        "deep": "0.12",
    }
)  # fmt: skip
"""The drawing's own variables on paper."""

_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_SVG = "http://www.w3.org/2000/svg"
_TAKEN = ("fill", "stroke", "stroke-width", "stroke-dasharray", "fill-opacity", "stroke-opacity",
          "stroke-linecap", "stroke-linejoin")  # fmt: skip


def draw(pdf: FPDF, drawing: Drawing, x_mm: float, y_mm: float, width_mm: float) -> float:
    """Draws it so wide at that place of the page; gives its height in millimetres."""
    height_mm = width_mm * drawing.height / drawing.width
    shapes = _Clipped(paper_svg(drawing))
    _, _, group = shapes.transform_to_rect_viewport(
        1, width_mm * pdf.k, height_mm * pdf.k, ignore_svg_top_attrs=True
    )
    at = Transform.scaling(1 / pdf.k, 1 / pdf.k).translate(x_mm, y_mm)
    group.transform = (group.transform or Transform.identity()) @ at
    pdf.draw_path(group)
    return height_mm


class _Clipped(SVGObject):
    """SVG as fpdf2 reads it, with clips on groups and clips that are paths."""

    def build_group(
        self,
        group: Element,
        pdf_group: GraphicsContext | None = None,
        inherited_style: dict[str, Any] | None = None,
    ) -> GraphicsContext:
        """The group, cut to what its clip names."""
        made = super().build_group(group, pdf_group, inherited_style)
        if name := group.get("clip-path"):
            made.clipping_path = self.cross_references[name[4:-1]]
        return made

    def build_clipping_path(self, shape: Element, clip_id: str | None) -> None:
        """A clip of any shape; holes in a path stay holes."""
        if not shape.tag.endswith("path"):
            super().build_clipping_path(shape, clip_id)
            return
        clip = ClippingPath()
        clip.style.intersection_rule = IntersectionRule.EVENODD
        svg_path_converter(clip, shape.attrib["d"])
        self.update_xref(clip_id, clip)


def paper_svg(drawing: Drawing) -> bytes:
    """The drawing as SVG without classes, patterns or anything else a printer does not know."""
    root = ElementTree.fromstring(f"<svg>{drawing.body}</svg>")
    hatchings = {p.get("id", ""): p for p in root.iter("pattern")}
    size = {"width": str(drawing.width), "height": str(drawing.height)}
    box = {"viewBox": f"0 0 {drawing.width} {drawing.height}"}
    plain = Element("svg", {"xmlns": _SVG} | box | size)
    defs = ElementTree.SubElement(plain, "defs")
    for clip in root.iter("clipPath"):
        defs.append(_plain_clip(clip))
    _Plain(defs, hatchings, drawing).children(root, plain)
    return ElementTree.tostring(plain)


@cache
def _rules() -> Mapping[str, Mapping[str, str]]:
    """What each class sets, by its name; `text` stands for the element."""
    found: dict[str, dict[str, str]] = {}
    for selectors, body in _RULE.findall(STYLE + DEBRIEF):
        given = dict(p.split(":", 1) for p in body.replace("\n", "").split(";") if ":" in p)
        for selector in selectors.split(","):
            if selector.strip().startswith(".plan "):
                name = selector.strip().removeprefix(".plan ").lstrip(".")
                found.setdefault(name, {}).update(given)
    return found


def _value(text: str) -> str:
    return re.sub(r"var\(--p-(\w+)\)", lambda m: PAPER.get(m[1], m[0]), text)


def _style(element: Element) -> dict[str, str]:
    names = element.get("class", "").split()
    names = ["text", *names] if element.tag == "text" else names
    given: dict[str, str] = {}
    for name in names:
        given |= _rules().get(name, {})
    return {key: _value(text) for key, text in given.items()}


def _plain_clip(clip: Element) -> Element:
    made = Element("clipPath", {"id": clip.get("id", "")})
    for shape in clip:
        made.append(Element(shape.tag, {k: v for k, v in shape.attrib.items() if k != "class"}))
    return made


class _Plain:
    """Copies the shapes of one drawing, each with its own attributes."""

    def __init__(self, defs: Element, hatchings: Mapping[str, Element], drawing: Drawing) -> None:
        self.defs = defs
        self.hatchings = hatchings
        self.drawing = drawing
        self.clips = 0

    def children(self, of: Element, into: Element) -> None:
        """Copies what stands in a group."""
        for element in of:
            if element.tag == "g":
                kept = {k: v for k, v in element.attrib.items() if k == "clip-path"}
                self.children(element, ElementTree.SubElement(into, "g", kept))
            elif element.tag == "text":
                self._text(element, into)
            elif "url(" in element.get("fill", ""):
                self._hatched(element, into)
            elif element.tag in ("line", "rect", "circle", "path"):
                into.append(_shape(element))

    def _text(self, element: Element, into: Element) -> None:
        style = _style(element)
        font = " ".join(style.get(k, "") for k in ("font-size", "font-weight", "font"))
        size = re.search(r"([\d.]+)px", font)
        made: dict[str, str] = {k: v for k, v in element.attrib.items() if k != "class"}
        made |= {
            "fill": style.get("fill", "#000000"),
            "font-family": SERIF if "--p-print" in font else SANS,
            "font-size": size[1] if size else "11",
        }
        if "600" in font:
            made["font-weight"] = "bold"
        words = element.text or ""
        if "all-small-caps" in style.get("font-variant-caps", ""):
            words = words.upper()
            made["font-size"] = str(0.78 * float(made["font-size"]))
        if "stroke" in style:  # the paper behind the words, so that hatching does not cross them
            self._behind(made, words, into)
        ElementTree.SubElement(into, "text", made).text = words

    def _behind(self, made: Mapping[str, str], words: str, into: Element) -> None:
        size, wide = float(made["font-size"]), 0.56 * len(words) * float(made["font-size"])
        shift = {"middle": 0.5, "end": 1.0}.get(made.get("text-anchor", ""), 0.0)
        left, top = float(made["x"]) - shift * wide - 2, float(made["y"]) - 0.85 * size - 1
        box = {"x": f"{left}", "y": f"{top}", "width": f"{wide + 4}", "height": f"{1.2 * size}",
               "fill": PAPER["page"], "fill-opacity": "0.85"}  # fmt: skip
        ElementTree.SubElement(into, "rect", box)

    def _hatched(self, element: Element, into: Element) -> None:
        """The outline as a clip, and lines right across the drawing."""
        pattern = self.hatchings[element.get("fill", "")[5:-1]]
        gap = float(pattern.get("height", "6"))
        turn = re.search(r"rotate\((-?[\d.]+)", pattern.get("patternTransform", ""))
        angle = radians(float(turn[1]) if turn else 0.0)
        self.clips += 1
        name = f"hatched-{self.clips}"
        clip = ElementTree.SubElement(self.defs, "clipPath", {"id": name})
        ElementTree.SubElement(clip, "path", {"d": element.get("d", ""), "clip-rule": "evenodd"})
        group = ElementTree.SubElement(into, "g", {"clip-path": f"url(#{name})"})
        style = _style(pattern[0])
        reach = self.drawing.width + self.drawing.height
        middle = self.drawing.width / 2, self.drawing.height / 2
        along, aside = (cos(angle), sin(angle)), (-sin(angle), cos(angle))
        steps = int(reach / 2 / gap)
        for step in range(-steps, steps + 1):
            x, y = (m + step * gap * a for m, a in zip(middle, aside, strict=True))
            ends = {
                f"{axis}{end}": f"{start + sign * reach * towards:.1f}"
                for axis, start, towards in zip("xy", (x, y), along, strict=True)
                for end, sign in ((1, -1), (2, 1))
            }
            ElementTree.SubElement(group, "line", ends | _drawn(style))


def _drawn(style: Mapping[str, str]) -> dict[str, str]:
    kept = {k: style[k] for k in _TAKEN if k in style}
    return {"fill": "none"} | kept


def _shape(element: Element) -> Element:
    kept = {k: v for k, v in element.attrib.items() if k != "class"}
    return Element(element.tag, kept | _drawn(_style(element)))
