"""A cup tie on invented ground for the tests of this room."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption
from setpiece.captions.check import check
from setpiece.captions.compose import Creator, compose
from setpiece.captions.findings import Finding
from setpiece.captions.situation import Situation, situation_for
from setpiece.captions.style import HouseStyle
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Instant, Interval, instant
from setpiece.match.people import (
    Kit,
    Person,
    PersonId,
    Role,
    Side,
    SidePeople,
    TeamSheet,
    numbered_id,
)
from setpiece.work.style_files import load_style

KICK_OFF = datetime(2027, 3, 6, 14, 30, tzinfo=UTC)
SECOND_HALF_S = 63 * 60
"""Seconds from kick-off to the second half: 48 minutes played, 15 of interval."""

HOME = (
    (1, "Zoë Müller", "goalkeeper"), (2, "Ana Brandt", "defender"), (3, "Ines de Wit", "defender"),
    (4, "Lotte Moreau", "defender"), (5, "Mara Voss", "defender"), (6, "Pia Kern", "midfielder"),
    (7, "Jule Adler", "midfielder"), (8, "Rike Thal", "midfielder"),
    (9, "Nora Lindqvist", "forward"), (10, "Sofía Peña", "forward"), (11, "Ebba Roth", "forward"),
    (12, "Kati Wolf", "goalkeeper"), (14, "Cleo Moreau", "midfielder"),
    (16, "Tilda Ørsted", "forward"), (18, "Lia Sand", "midfielder"),
)  # fmt: skip
AWAY = (
    (1, "Grace Oduya", "goalkeeper"), (2, "Tess Hollow", "defender"), (3, "Amy Pratt", "defender"),
    (4, "Bríd Nolan", "defender"), (5, "Kay Stone", "defender"),
    (6, "Ruth van der Berg", "midfielder"), (7, "Mina Sato", "midfielder"),
    (8, "Ivy Marsh", "midfielder"), (9, "Jo Kemp", "forward"), (10, "Fay Dunne", "forward"),
    (11, "Lu", "forward"), (13, "Nell Park", "goalkeeper"), (15, "Una Reed", "defender"),
    (17, "Bea Quill", "midfielder"), (18, "Wren Tate", "forward"),
)  # fmt: skip


def home(number: int) -> PersonId:
    """A player of the home side."""
    return numbered_id(Side.HOME, number)


def away(number: int) -> PersonId:
    """A player of the away side."""
    return numbered_id(Side.AWAY, number)


def first(minute: float, second: float = 0) -> Instant:
    """An instant of the first half by its clock."""
    return instant(KICK_OFF + timedelta(minutes=minute, seconds=second))


def second(minute: float, second: float = 0) -> Instant:
    """An instant of the second half by its clock, which starts at 45."""
    return instant(KICK_OFF + timedelta(seconds=SECOND_HALF_S + (minute - 45) * 60 + second))


def people() -> tuple[Person, ...]:
    """Everybody on the sheet."""
    rows: list[Person] = []
    for side, players in ((Side.HOME, HOME), (Side.AWAY, AWAY)):
        for index, (number, name, position) in enumerate(players):
            keeper = position == "goalkeeper"
            rows.append(
                Person(
                    numbered_id(side, number), name,
                    Role.GOALKEEPER if keeper else Role.PLAYER, side, number=number,
                    pronouns="she", position=position, starts=index < 11,
                    captain=number == 6, under_18=(side, number) == (Side.AWAY, 18),
                )
            )  # fmt: skip
    rows += [
        Person(PersonId("hc"), "Mara Feld", Role.HEAD_COACH, Side.HOME, title="head coach",
               pronouns="she"),
        Person(PersonId("am"), "Tom Birch", Role.MANAGER, Side.AWAY, title="manager",
               pronouns="he"),
        Person(PersonId("ph"), "Ola Grav", Role.PHYSIOTHERAPIST, Side.HOME, pronouns="he"),
        Person(PersonId("ref"), "Ida Holm", Role.REFEREE, title="referee", pronouns="she"),
        Person(PersonId("ar1"), "Pål Lie", Role.ASSISTANT_REFEREE, title="assistant referee"),
        Person(PersonId("ar2"), "Una Sund", Role.ASSISTANT_REFEREE, title="assistant referee"),
        Person(PersonId("gu"), "Eva Lunde", Role.GUEST, title="mayor", pronouns="she"),
    ]  # fmt: skip
    return tuple(rows)


SHEET = TeamSheet(
    SidePeople("Hallern FC", "Hallern", (Kit("r", "red", "#b5382a"),
                                          Kit("g", "green", "#2f6b3a", True))),
    SidePeople("Whitmoor Rovers", "Whitmoor", (Kit("w", "white", "#ffffff"),
                                                Kit("y", "yellow", "#e8d44d", True))),
    people(),
    (Kit("k", "black", "#191b18"),),
)  # fmt: skip

FIXTURE = Fixture(
    id="cup-semi-final", home="Hallern FC", away="Whitmoor Rovers",
    competition="Aldbrook Bank Women's Cup", stage="semi-final", kick_off=instant(KICK_OFF),
    time_zone="Europe/Berlin", venue="Kiln Lane", city="Hallern", country="Nordmark",
    country_code="NRD",
)  # fmt: skip


def entry(entry_id: int, kind: Kind, at: Instant, **more: object) -> Entry:
    """An entry of the log, exact to a fifth of a second."""
    return Entry(EntryId(entry_id), kind, at, happened=Interval.around(at, 0.2), **more)  # type: ignore[arg-type]


LOG = (
    entry(1, Kind.KICK_OFF, first(0), period=1),
    entry(2, Kind.GOAL, first(16, 30), side=Side.HOME, person=home(9), how=How.HEADER),
    entry(3, Kind.GOAL, first(46, 30), side=Side.AWAY, person=home(5), how=How.OWN_GOAL),
    entry(4, Kind.PERIOD_END, first(48), period=1),
    entry(5, Kind.KICK_OFF, second(45), period=2),
    entry(6, Kind.YELLOW, second(52, 10), side=Side.AWAY, person=away(5)),
    entry(7, Kind.GOAL, second(57, 20), side=Side.AWAY, person=away(9),
          standing=Standing.DISALLOWED),
    entry(8, Kind.SUBSTITUTION, second(62, 10), side=Side.AWAY, person=away(8), other=away(17)),
    entry(9, Kind.PENALTY_SAVED, second(67, 20), side=Side.AWAY, person=away(10)),
    entry(10, Kind.GOAL, second(73, 20), side=Side.HOME, person=home(9), how=How.FREE_KICK,
          other=home(10), frame="strike"),
    entry(11, Kind.RED, second(80, 15), side=Side.AWAY, person=away(5)),
    entry(12, Kind.SHIRT, second(82), side=Side.HOME, person=home(3), number=None),
    entry(13, Kind.SUBSTITUTION, second(85, 5), side=Side.HOME, person=home(10), other=home(16)),
    entry(14, Kind.INJURY, second(88), side=Side.HOME, person=home(7)),
    entry(15, Kind.PERIOD_END, second(93), period=2),
)  # fmt: skip


EXTRA_S = 63 * 60 + 48 * 60 + 5 * 60
"""Seconds from kick-off to extra time: 48 minutes of second half, 5 of interval."""


def extra(minute: float, second: float = 0) -> Instant:
    """An instant of the first half of extra time, whose clock starts at 90."""
    return instant(KICK_OFF + timedelta(seconds=EXTRA_S + (minute - 90) * 60 + second))


def kicks(minute: float, second: float = 0) -> Instant:
    """An instant of the shoot-out, from its start 45 minutes after extra time began."""
    return instant(KICK_OFF + timedelta(seconds=EXTRA_S + (45 + minute) * 60 + second))


LONG_LOG = (
    entry(1, Kind.KICK_OFF, first(0), period=1),
    entry(2, Kind.GOAL, first(20, 30), side=Side.HOME, person=home(11)),
    entry(3, Kind.PERIOD_END, first(48), period=1),
    entry(4, Kind.KICK_OFF, second(45), period=2),
    entry(5, Kind.GOAL, second(70, 30), side=Side.AWAY, person=away(10), how=How.PENALTY),
    entry(6, Kind.RED, second(75), side=Side.HOME, person=home(1)),
    entry(7, Kind.IN_GOAL, second(76), side=Side.HOME, person=home(5)),
    entry(8, Kind.PERIOD_END, second(93), period=2),
    entry(9, Kind.KICK_OFF, extra(90), period=3),
    entry(10, Kind.GOAL, extra(94, 30), side=Side.AWAY, person=away(9),
          standing=Standing.UNDER_REVIEW),
    entry(11, Kind.PERIOD_END, extra(105), period=3),
    entry(12, Kind.KICK_OFF, extra(108), period=4),
    entry(13, Kind.GOAL, extra(110, 20), side=Side.HOME, person=home(9)),
    entry(14, Kind.PERIOD_END, extra(123), period=4),
    entry(15, Kind.KICK_OFF, kicks(0), period=5),
    entry(16, Kind.SHOOT_OUT_KICK, kicks(1), period=5, side=Side.HOME, person=home(9),
          how=How.SCORED),
    entry(17, Kind.SHOOT_OUT_KICK, kicks(2), period=5, side=Side.AWAY, person=away(10),
          how=How.SAVED),
    entry(18, Kind.SHOOT_OUT_KICK, kicks(3), period=5, side=Side.HOME, person=home(11),
          how=How.MISSED),
    entry(19, Kind.SHOOT_OUT_KICK, kicks(4), period=5, side=Side.AWAY, person=away(9),
          how=How.SCORED),
    entry(20, Kind.PERIOD_END, kicks(12), period=5),
)  # fmt: skip
"""Extra time, a goal under review, an outfield player in goal and a shoot-out."""

DARK_LOG = (
    entry(1, Kind.KICK_OFF, first(0), period=1),
    entry(2, Kind.GOAL, first(10, 30), side=Side.AWAY, person=away(11)),
    entry(3, Kind.NOTE, first(20), note="pitch invader"),
    entry(4, Kind.FLOODLIGHTS, first(30), note="floodlights out"),
    entry(5, Kind.SUSPENDED, first(31)),
    entry(6, Kind.ABANDONED, first(60)),
)  # fmt: skip
"""An invader, floodlights out, a suspension and an abandonment."""


class CupTie:
    """The tie with its log, and the shortest way to a caption in it."""

    def __init__(self, acts: Acts, log: tuple[Entry, ...] = LOG, sheet: TeamSheet = SHEET) -> None:
        self.acts = acts
        self.sheet = sheet
        self.fold = Fold(FIXTURE, sheet, log)

    def situation(self, at: Instant, frame: str = "frame", uncertainty_s: float = 0.2) -> Situation:
        """The situation of a frame made then."""
        return situation_for(
            FIXTURE, self.sheet, self.fold, frame, Interval.around(at, uncertainty_s)
        )

    def style(self, name: str = "north") -> HouseStyle:
        """A shipped style."""
        return load_style(None, name)

    def compose(
        self, line: str, at: Instant, style: str = "north", frame: str = "frame"
    ) -> Caption:
        """The caption of a line."""
        return compose(
            line, self.situation(at, frame), self.style(style), self.acts,
            creator=Creator("Kim Arnesen"),
        )  # fmt: skip

    def check(
        self, caption: Caption, at: Instant, style: str = "north", frame: str = "frame"
    ) -> tuple[Finding, ...]:
        """What the check finds in it."""
        return check(caption, self.situation(at, frame), self.style(style), self.acts)
