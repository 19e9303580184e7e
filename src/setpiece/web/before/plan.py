"""The plan on the page before the match: its drawings, made anew whenever a seat or lens moves."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from html import escape, unescape
from urllib.parse import parse_qs
from zoneinfo import ZoneInfo

from markupsafe import Markup

from setpiece.errors import SetpieceError, WrongUse
from setpiece.match.fixture import Fixture
from setpiece.plan.camera import Seat
from setpiece.plan.caution import Caution, Part, cautions
from setpiece.plan.choices import MOST_LENSES, Choices
from setpiece.plan.drawings.canvas import Drawing
from setpiece.plan.drawings.exposure import draw_exposure
from setpiece.plan.drawings.lens import DISTANCES_M, draw_lens
from setpiece.plan.drawings.light import draw_light
from setpiece.plan.drawings.penalty import draw_penalty
from setpiece.plan.drawings.seat import LETTERS, draw_comparison, draw_seat, seat_map
from setpiece.plan.ground import Ground
from setpiece.plan.light import DayLight
from setpiece.plan.optics import Orientation
from setpiece.plan.pitch import End
from setpiece.plan.seat import compare
from setpiece.web.before.tables import Figures, lens_figures, light_figures, strike_figures
from setpiece.web.wording import Wording
from setpiece.work.before.plan import bare_pitch, ground_of, light_of, seats_of
from setpiece.work.before.wants import choices_of
from setpiece.work.matchday import Matchday

MOST_SEATS = 6
KINDS = ("penalty", "free-kick", "header")
_TEXTS = ("sensor", "pixels", "shutter", "orientation", "kind", "start")
_NUMBERS = {"fps": "frames_per_s", "focal": "focal_length_mm", "speed": "speed_m_s"}


@dataclass(frozen=True, slots=True)
class SeatRow:
    """A seat as the form has it; an empty one is there to be filled."""

    letter: str
    name: str
    x: str
    y: str
    height: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing by its key, with its figures and cautions; `trouble` says why there is none."""

    key: str
    drawing: Markup | None = None
    table: Figures | None = None
    cautions: tuple[Caution, ...] = ()
    trouble: str = ""


Made = tuple[Drawing, Figures | None]


@dataclass(frozen=True)
class PlanShown:
    """The plan as it stands; each drawing is made when the page asks for it.

    `trouble` says why the match's own ground could not be taken.
    """

    fixture: Fixture
    ground: Ground
    choices: Choices
    seats: tuple[Seat, ...]
    chosen: int
    words: Wording
    trouble: str

    @property
    def seat(self) -> Seat:
        """The seat that the drawings are of."""
        return self.seats[self.chosen]

    @property
    def rows(self) -> tuple[SeatRow, ...]:
        """The seats' rows in the form, and an empty one while there is room."""
        rows = [
            SeatRow(LETTERS[n], s.name, f"{s.x_m:g}", f"{s.y_m:g}", f"{s.lens_height_m:g}",
                    n == self.chosen)
            for n, s in enumerate(self.seats)
        ]  # fmt: skip
        if len(rows) < MOST_SEATS:
            rows.append(SeatRow(LETTERS[len(rows)], "", "", "", "", False))
        return tuple(rows)

    @property
    def lens_rows(self) -> tuple[str, ...]:
        """The lenses as typed, and an empty place while there is room."""
        typed = self.choices.lenses
        return (*typed, "") if len(typed) < MOST_LENSES else typed

    @cached_property
    def geometry(self) -> Mapping[str, str]:
        """How the drawing lies over the ground: what a dragged seat is reckoned with."""
        map_, _ = seat_map(self.ground, self.seats)
        return {
            "left": f"{map_.x(0):.4f}",
            "foot": f"{map_.y(0):.4f}",
            "scale": f"{map_.scale:.6f}",
        }

    @property
    def outside(self) -> bool:
        """Whether the seat lies outside the zones where the bib allows work."""
        return not self.ground.in_a_zone(self.seat)

    @property
    def map(self) -> Markup:
        """The ground with the reach of the chosen seat's lenses."""
        chip, glass = self.choices.chip, self.choices.glass
        drawn = draw_seat(self.ground, self.seats, chip, glass, self.chosen)
        return _svg(drawn, self.words)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The other drawings, each with its figures and, the first time, its cautions.

        One that cannot be drawn from here says why, and the others stand.
        """
        shown: set[Part] = set()
        found = []
        for key, part, make in self._makers():
            said = () if part in shown else cautions(part)
            shown.add(part)
            try:
                drawing, table = make()
                found.append(Figure(key, _svg(drawing, self.words), table, said))
            except SetpieceError as error:
                found.append(Figure(key, cautions=said, trouble=self.words.told(str(error))))
        return tuple(found)

    def _makers(self) -> Iterator[tuple[str, Part, Callable[[], Made]]]:
        yield "seats", Part.SEAT, self._beside
        for end in End:
            yield f"strike-{end}", Part.PENALTY, partial(self._strike, end)
        if (day := light_of(self.ground, self.fixture)) is not None:
            yield "light", Part.LIGHT, partial(self._light, day)
        if self.ground.floodlight_lx is not None:
            yield "exposure", Part.EXPOSURE, partial(self._exposure, self.ground.floodlight_lx)
        yield "lens", Part.LENS, self._lens

    def _beside(self) -> Made:
        chip, glass = self.choices.chip, self.choices.glass
        return draw_comparison(compare(self.ground, self.seats, chip, glass)), None

    def _strike(self, end: End) -> Made:
        camera = self.choices.camera(self.seat)
        kick = self.choices.strike(self.ground.pitch, end)
        drawing = draw_penalty(self.ground, camera, kick)
        return drawing, strike_figures(camera, kick, self.words)

    def _light(self, day: DayLight) -> Made:
        zone = ZoneInfo(self.fixture.time_zone)
        drawing = draw_light(self.ground, day, zone)
        return drawing, light_figures(self.ground, self.seat, day, zone, self.words)

    def _exposure(self, lux: float) -> Made:
        return draw_exposure(self.choices.glass, self.choices.exposure_s, lux), None

    def _lens(self) -> Made:
        camera = self.choices.camera(self.seat)
        focal_mm = camera.focal_length_mm
        lens = min(self.choices.glass, key=lambda g: _away(g.focal_lengths_mm, focal_mm))
        drawing = draw_lens(camera.sensor, focal_mm, lens.widest_f_number, DISTANCES_M)
        return drawing, lens_figures(camera, lens, self.ground.mains_hz, self.words)


def _away(span_mm: tuple[float, float], focal_mm: float) -> float:
    """How far a focal length lies outside a lens's range."""
    return max(span_mm[0] - focal_mm, focal_mm - span_mm[1], 0.0)


def _svg(drawing: Drawing, words: Wording) -> Markup:
    """A drawing for the page, which has its styles; its texts are escaped where it is made."""
    return Markup(_TEXT.sub(lambda text: _told(text, words), drawing.svg(alone=False)))


_TEXT = re.compile(r">([^<>]+)<")
"""What stands between two tags."""


def _told(text: re.Match[str], words: Wording) -> str:
    said = words.told(unescape(text[1]))
    return f">{escape(said, quote=False)}<"


def plan_shown(day: Matchday, words: Wording, query: str = "") -> PlanShown:
    """The plan as kept, or as the form says in `query`. Raises WrongUse."""
    kept = choices_of(day.space, day.match)
    try:
        ground, trouble = ground_of(day.space, day.match), ""
    except SetpieceError as error:
        ground, trouble = bare_pitch(day.match), words.told(str(error))
    if not query:
        return PlanShown(day.fixture, ground, kept, seats_of(ground, kept), 0, words, trouble)
    choices, chosen = read_plan(query, kept)
    seats = seats_of(ground, choices)
    place = min(chosen, len(seats) - 1)
    return PlanShown(day.fixture, ground, choices, seats, place, words, trouble)


def read_plan(query: str, kept: Choices) -> tuple[Choices, int]:
    """The choices that a form's fields say, over those kept, and the chosen seat's place."""
    form = parse_qs(query, keep_blank_values=True, max_num_fields=100)
    seats, chosen = _seats(form)
    changed: dict[str, object] = {"seats": seats or kept.seats}
    if "lens" in form:
        changed["lenses"] = tuple(text.strip() for text in form["lens"] if text.strip())
    changed |= {name: form[name][0].strip() for name in _TEXTS if name in form}
    for name, field in _NUMBERS.items():
        if name in form:
            changed[field] = _number(form[name][0], name)
    return replace(kept, **changed), chosen  # type: ignore[arg-type]


def _seats(form: Mapping[str, Sequence[str]]) -> tuple[tuple[Seat, ...], int]:
    """The rows with a place, and where among them the chosen one stands."""
    rows = list(zip(*(form.get(f"seat-{n}", ()) for n in ("name", "x", "y", "h")), strict=False))
    wanted = form.get("chosen", ("0",))[0]
    seats: list[Seat] = []
    chosen = 0
    for number, (name, x, y, height) in enumerate(rows[:MOST_SEATS]):
        if not (x.strip() and y.strip()):
            continue
        if wanted == str(number):
            chosen = len(seats)
        place = _number(x, "x"), _number(y, "y"), _number(height or "1", "height")
        seats.append(Seat(name.strip() or f"{place[0]:g}, {place[1]:g}", *place))
    return tuple(seats), chosen


def _number(text: str, name: str) -> float:
    try:
        number = float(text.strip().replace(",", ".").replace("−", "-"))
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise WrongUse("this is no number", thing=f"{name}: {text[:20]}")
    return number


ORIENTATIONS = tuple(str(way) for way in Orientation)
