"""The drawing itself: shapes as SVG text, and the two editions it is printed in.

Shapes carry classes only, no inline style, so that a page with a strict content policy may hold
them; `STYLE` is what a page links once, and what a drawing that stands alone brings along. The
colours are the page's own variables where it sets them (`--ink-0`, `--paper-0`, ...), else the
day edition's, by night the night edition's, on paper black on white.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from typing import Literal

Anchor = Literal["start", "middle", "end"]

STYLE = """
.plan{--p-ink:var(--ink-0,#191b18);--p-soft:var(--ink-1,#40443c);--p-quiet:var(--ink-2,#6a6e63);
--p-faint:var(--ink-3,#9a9c8f);--p-page:var(--paper-0,#f7f3e9);--p-open:var(--paper-1,#fffdf6);
--p-shade:var(--paper-2,#ece6d7);--p-rule:var(--line-0,#d3ccb9);--p-green:var(--green,#2f6b3a);
--p-ochre:var(--ochre,#8a5a00);--p-brick:var(--brick,#a3371f);--p-shadow:#191b18;--p-deep:.12;
--p-print:var(--print,"Iowan Old Style","Palatino Linotype",Palatino,"Noto Serif",Georgia,serif);
--p-desk:var(--desk,"Noto Sans","Segoe UI",system-ui,-apple-system,sans-serif);
fill:none;font-family:var(--p-desk);font-size:11px;font-variant-numeric:lining-nums tabular-nums}
.plan text{fill:var(--p-ink)}
.plan .page{fill:var(--p-page)}
.plan .title{font:600 19px var(--p-print)}
.plan .lead{font:italic 12.5px var(--p-print);fill:var(--p-quiet)}
.plan .name{font:600 12.5px var(--p-print)}
.plan .big{font:600 17px var(--p-print)}
.plan .caps{font:12px var(--p-print);font-variant-caps:all-small-caps;letter-spacing:.06em}
.plan .caps,.plan .note{fill:var(--p-quiet)}
.plan .note{font-size:10.5px}
.plan .halo{paint-order:stroke;stroke:var(--p-page);stroke-width:4px;stroke-linejoin:round}
.plan .rule{stroke:var(--p-rule);stroke-width:1}
.plan .heavy{stroke:var(--p-ink);stroke-width:1.1}
.plan .turf{fill:var(--p-green);fill-opacity:.09}
.plan .mown{fill:var(--p-green);fill-opacity:.05}
.plan .mark{stroke:var(--p-ink);stroke-width:.9;stroke-opacity:.62}
.plan .spot{fill:var(--p-ink)}
.plan .stand{fill:var(--p-shade);stroke:var(--p-rule);stroke-width:.8}
.plan .roof{stroke:var(--p-quiet);stroke-width:.8;stroke-dasharray:5 3}
.plan .boards{stroke:var(--p-ink);stroke-width:2.2}
.plan .dugout{fill:var(--p-open);stroke:var(--p-ink);stroke-width:1}
.plan .zone{stroke:var(--p-green);stroke-width:1.1;stroke-dasharray:1.5 3;stroke-linecap:round}
.plan .net{stroke:var(--p-ink);stroke-width:.5;stroke-opacity:.8}
.plan .goal{stroke:var(--p-ink);stroke-width:1.6}
.plan .seat{fill:var(--p-ink);stroke:var(--p-page);stroke-width:1.5}
.plan .other-seat{fill:var(--p-open);stroke:var(--p-ink);stroke-width:1.2}
.plan .on-ink{fill:var(--p-page);font:600 11px var(--p-print)}
.plan .grip{pointer-events:all;cursor:grab;touch-action:none}
.plan .reach{stroke:var(--p-ink);stroke-width:.9}
.plan .tint-1{fill:var(--p-ink);fill-opacity:.10}
.plan .tint-2{fill:var(--p-brick);fill-opacity:.13}
.plan .tint-3{fill:var(--p-ochre);fill-opacity:.15}
.plan .hatch-1{stroke:var(--p-ink);stroke-width:.8;stroke-opacity:.55}
.plan .hatch-2{stroke:var(--p-brick);stroke-width:.9;stroke-opacity:.7}
.plan .hatch-3{stroke:var(--p-ochre);stroke-width:.9;stroke-opacity:.8}
.plan .edge-1{stroke:var(--p-ink);stroke-width:1.1}
.plan .edge-2{stroke:var(--p-brick);stroke-width:1.1}
.plan .edge-3{stroke:var(--p-ochre);stroke-width:1.1}
.plan .blind{fill:var(--p-page);fill-opacity:.86;stroke:var(--p-quiet);stroke-width:.6}
.plan .see-through{fill:var(--p-page);fill-opacity:.6}
.plan .view{fill:var(--p-ink);fill-opacity:.07;stroke:var(--p-ink);stroke-width:.8}
.plan .way{stroke:var(--p-brick);stroke-width:1.2;stroke-dasharray:2 2.4}
.plan .ball{fill:var(--p-brick)}
.plan .ball-out{fill:var(--p-page);stroke:var(--p-brick);stroke-width:1.1}
.plan .figure{fill:var(--p-ink)}
.plan .figure-out{fill:var(--p-faint)}
.plan .frame{fill:var(--p-open);stroke:var(--p-ink);stroke-width:1.4}
.plan .bar{fill:var(--p-ink)}
.plan .bar-rest{fill:var(--p-shade)}
.plan .bar-best{fill:var(--p-brick)}
.plan .tick{stroke:var(--p-quiet);stroke-width:.8}
.plan .tick-line{stroke:var(--p-quiet);stroke-width:.7;stroke-dasharray:2 3}
.plan .shade{fill:var(--p-shadow);fill-opacity:var(--p-deep)}
[data-edition=night] .plan{--p-shadow:#000;--p-deep:.3}
.plan .shade-edge{stroke:var(--p-ink);stroke-width:1.1}
.plan .sun{fill:var(--p-ochre)}
.plan .sun-way{stroke:var(--p-ochre);stroke-width:1.3}
.plan .sun-match{stroke:var(--p-ochre);stroke-width:4.5;stroke-linecap:butt}
.plan .dusk{fill:var(--p-shadow);fill-opacity:.22}
.plan .dark{fill:var(--p-shadow);fill-opacity:.5}
.plan .daylight{fill:var(--p-ochre);fill-opacity:.16}
.plan .line-1{stroke:var(--p-ink);stroke-width:1.8}
.plan .line-2{stroke:var(--p-brick);stroke-width:1.8;stroke-dasharray:7 3}
.plan .line-3{stroke:var(--p-ochre);stroke-width:1.8;stroke-dasharray:2 2.5}
.plan .line-4{stroke:var(--p-green);stroke-width:1.8;stroke-dasharray:9 3 2 3}
"""

_NIGHT = """
@media (prefers-color-scheme:dark){svg.plan:root{--ink-0:#efe9dc;--ink-1:#cfc9ba;--ink-2:#a09c8e;
--ink-3:#77756b;--paper-0:#1d1a17;--paper-1:#26221e;--paper-2:#2f2a25;--line-0:#3d3730;
--green:#8fbf7f;--ochre:#e0b354;--brick:#e08468;--p-shadow:#000;--p-deep:.3}}
@media print{svg.plan:root{--ink-0:#000;--ink-1:#222;--ink-2:#444;--ink-3:#777;--paper-0:#fff;
--paper-1:#fff;--paper-2:#eee;--line-0:#bbb;--green:#1f4f28;--ochre:#6b4600;--brick:#7d2a17}}
"""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished drawing, `width` by `height` in its own units; it scales to any size."""

    width: float
    height: float
    title: str
    description: str
    body: str

    def svg(self, *, alone: bool = True) -> str:
        """The drawing as SVG. `alone` brings its style and its paper; a page has its own."""
        style = f"<style>{STYLE}{_NIGHT}</style>" if alone else ""
        paper = rect(0, 0, self.width, self.height, "page") if alone else ""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="plan" role="img" '
            f'viewBox="0 0 {number(self.width)} {number(self.height)}" '
            f'aria-label="{escape(self.title)}">'
            f"<title>{escape(self.title)}</title><desc>{escape(self.description)}</desc>"
            f"{style}{paper}{self.body}</svg>\n"
        )


def number(value: float) -> str:
    """A coordinate with at most two decimals."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def percent(share: float, digits: int = 0) -> str:
    """A share as it is printed: `62 %`."""
    return f"{100 * share:.{digits}f} %"


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    """A straight line."""
    return (
        f'<line class="{kind}" x1="{number(x1)}" y1="{number(y1)}" '
        f'x2="{number(x2)}" y2="{number(y2)}"/>'
    )


def rect(x: float, y: float, width: float, height: float, kind: str) -> str:
    """A rectangle."""
    return (
        f'<rect class="{kind}" x="{number(x)}" y="{number(y)}" '
        f'width="{number(max(0.0, width))}" height="{number(max(0.0, height))}"/>'
    )


def circle(x: float, y: float, radius: float, kind: str) -> str:
    """A circle."""
    return f'<circle class="{kind}" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"/>'


def path(points: Iterable[tuple[float, float]], kind: str, *, closed: bool = False) -> str:
    """A line through points, or the outline they make."""
    steps = " L".join(f"{number(x)} {number(y)}" for x, y in points)
    if not steps:
        return ""
    return f'<path class="{kind}" d="M{steps}{" Z" if closed else ""}"/>'


def text(
    x: float,
    y: float,
    words: str,
    kind: str = "",
    *,
    anchor: Anchor = "start",
    turn_deg: float = 0,
) -> str:
    """Words at a place, turned about it when asked."""
    turn = f' transform="rotate({number(turn_deg)} {number(x)} {number(y)})"' if turn_deg else ""
    of_kind = f' class="{kind}"' if kind else ""
    ends = f' text-anchor="{anchor}"' if anchor != "start" else ""
    return f'<text{of_kind} x="{number(x)}" y="{number(y)}"{ends}{turn}>{escape(words)}</text>'


def group(*parts: str, kind: str = "", clip: str = "") -> str:
    """Shapes together; `clip` names a clip path of this drawing."""
    attributes = f' class="{kind}"' if kind else ""
    if clip:
        attributes += f' clip-path="url(#{clip})"'
    return f"<g{attributes}>{''.join(parts)}</g>"


def clip_rect(name: str, x: float, y: float, width: float, height: float) -> str:
    """A clip path to a rectangle, to be named in `group`."""
    inner = rect(x, y, width, height, "clip")
    return f'<clipPath id="{name}">{inner}</clipPath>'


def hatching(name: str, kind: str, turn_deg: float, gap: float = 6) -> str:
    """A pattern of parallel lines, to fill an outline with."""
    return (
        f'<pattern id="{name}" width="{number(gap)}" height="{number(gap)}" '
        f'patternUnits="userSpaceOnUse" patternTransform="rotate({number(turn_deg)})">'
        f"{line(0, 0, gap, 0, kind)}</pattern>"
    )


def filled(d: str, pattern: str) -> str:
    """An outline, as path data, filled with a pattern."""
    return f'<path d="{d}" fill-rule="evenodd" fill="url(#{pattern})" class="pattern"/>'


def masthead(width: float, title: str, lead: str) -> str:
    """The head of a drawing: title, a line below it, a double rule."""
    return group(
        text(16, 29, title, "title"),
        text(16, 47, lead, "lead"),
        line(16, 57, width - 16, 57, "heavy"),
        line(16, 59.6, width - 16, 59.6, "heavy"),
    )


HEAD = 60.0  # how much of the height the masthead takes


def figure(x: float, foot_y: float, height: float, kind: str = "figure") -> str:
    """Someone standing, `height` tall, with the feet at `foot_y`."""

    def at(points: str) -> str:
        pairs = (pair.split(",") for pair in points.split())
        return " L".join(
            f"{number(x + float(a) * height)} {number(foot_y - float(b) * height)}"
            for a, b in pairs
        )

    body = at(
        "-.065,.84 .065,.84 .125,.79 .19,.56 .15,.54 .095,.70 .085,.50 .105,.27 .10,.02 .135,0 "
        ".05,0 .045,.25 .0,.45 -.045,.25 -.05,0 -.135,0 -.10,.02 -.105,.27 -.085,.50 -.095,.70 "
        "-.15,.54 -.19,.56 -.125,.79"
    )
    head = circle(x, foot_y - 0.925 * height, 0.072 * height, kind)
    return f'<path class="{kind}" d="M{body} Z"/>{head}'
