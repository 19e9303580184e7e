"""Three earlier matches of the demo's photographer: invented, small, worked like the main one.

They give the archive, the search, the ledger and the debrief something that lies in the past.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import simplejpeg

from setpiece.match.entries import Entry, EntryId, How, Kind
from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant, Interval, instant
from setpiece.match.people import Kit, Person, PersonId, Role, Side, SidePeople, TeamSheet
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match, add_entries, add_fixture, add_sheet
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.clocks.fit import add_typed_pair, fit_clocks
from setpiece.work.demo import squads
from setpiece.work.demo.cards import QUALITY
from setpiece.work.demo.exif import tags_of, thumbnail, with_exif
from setpiece.work.demo.exposures import Exposure, exposures, passage
from setpiece.work.demo.ground_time import AtTheGround
from setpiece.work.demo.scenario import TIME_ZONE
from setpiece.work.demo.scene import Set
from setpiece.work.demo.staging import Take, scene_of
from setpiece.work.desk.deliver import queue_set, send_waiting
from setpiece.work.intake.take import take_in
from setpiece.work.matchday import Matchday

FIRST_HALF_S, BREAK_S, SECOND_HALF_S = 46 * 60 + 8.0, 15 * 60 + 30.0, 48 * 60 + 41.0
FRAMES_A_PICTURE = 2
LOOK_S, TYPE_S = 20.0, 25.0


@dataclass(frozen=True, slots=True)
class Picture:
    """What is shot: a take of the main match drawn anew, when, and the line typed at it."""

    passage: str
    period: int
    clock: str
    line: str


@dataclass(frozen=True, slots=True)
class Earlier:
    """One match: its opponent with eleven names and a coach, and how soon the card came in.

    `nearer` draws the takes closer or farther than the main match's; `goals` are by shirt.
    """

    day: str
    kick_off: str
    stage: str
    opponent: str
    short_name: str
    people: tuple[str, ...]
    coach: str
    goals: tuple[tuple[int, str, Side, int, How], ...]
    pictures: tuple[Picture, ...]
    nearer: float
    card_after_s: float
    first_number: int

    @property
    def starts(self) -> dict[int, Instant]:
        """Both kick-offs."""
        local = datetime.fromisoformat(f"{self.day}T{self.kick_off}:40")
        first = instant(local.replace(tzinfo=ZoneInfo(TIME_ZONE)))
        return {1: first, 2: _after(first, FIRST_HALF_S + BREAK_S)}

    def at(self, period: int, clock: str) -> Instant:
        """The instant at which so much of a period had been played."""
        minutes, _, seconds = clock.partition(":")
        return _after(self.starts[period], int(minutes) * 60 + float(seconds))


def _after(start: Instant, seconds: float) -> Instant:
    return instant(start + timedelta(seconds=seconds))


EARLIER = (
    Earlier(
        "2026-11-14", "14:00", "second round", "SC Hallmoos", "Hallmoos",
        ("Ronja Ettlinger", "Sabeth Kürnau", "Mona Wiesbacher", "Iris Talhammer",
         "Dorothea Quandl", "Selma Brixner", "Nele Aspacher", "Tilda Morgenroth",
         "Vera Lindgruber", "Ylva Sandström", "Carla Moretzky"),
        "Bente Rosvold",
        ((1, "23:06", Side.HOME, 10, How.PLAY), (2, "31:12", Side.AWAY, 9, How.PLAY),
         (2, "44:20", Side.HOME, 9, How.HEADER)),
        (Picture("tackle-29", 1, "11:32", "5w tackles 9r"),
         Picture("joy-17", 1, "23:24", "10r celebrates"),
         Picture("joy-45", 2, "31:30", "9w left celebrates with 11w right"),
         Picture("coach-17", 2, "44:50", "r coach reacts")),
        1.12, 310.0, 7001,
    ),
    Earlier(
        "2026-12-05", "13:30", "third round", "FC Oberwang", "Oberwang",
        ("Lea Pfundner", "Anouk Destrelle", "Milena Grabovac", "Jule Hartwanger",
         "Oriane Maubert", "Paula Zehetner", "Sina Kratochwil", "Emma Ödlund",
         "Zoe Fahrnleitner", "Rita Almendra", "Kaja Norrby"),
        "Torben Vasshaug",
        ((1, "8:41", Side.AWAY, 9, How.PLAY), (2, "20:02", Side.HOME, 10, How.PLAY),
         (2, "27:33", Side.HOME, 11, How.PLAY)),
        (Picture("joy-45", 1, "8:58", "9w left celebrates with 11w right"),
         Picture("tackle-29", 1, "33:10", "5w tackles 9r"),
         Picture("joy-17", 2, "20:20", "10r celebrates"),
         Picture("coach-17", 2, "27:55", "r coach reacts")),
        0.86, 215.0, 7301,
    ),
    Earlier(
        "2027-02-13", "15:00", "quarter-final", "DSV Steinach", "Steinach",
        ("Helene Rauscher", "Marit Solvang", "Tamara Vukovar-Ebner", "Kim Obermaier",
         "Alba Serrano", "Lotta Fink", "Nora Gstettner", "Ebba Liljeqvist",
         "Judith Prammer", "Amelie Sauvage", "Pia Hochleitner"),
        "Agnes Thorvik",
        ((1, "37:50", Side.HOME, 10, How.FREE_KICK), (2, "39:15", Side.HOME, 9, How.PLAY)),
        (Picture("tackle-29", 1, "19:44", "5w tackles 9r"),
         Picture("joy-17", 1, "38:09", "10r celebrates"),
         Picture("coach-17", 2, "39:40", "r coach reacts")),
        1.26, 150.0, 7601,
    ),
)  # fmt: skip


def work_earlier(
    folder: Path, space: Workspace, desk: str, caller: AtTheGround
) -> tuple[Match, ...]:
    """Draws, takes in, captions and sends the earlier matches, the oldest first."""
    return tuple(_work(match, folder / match.day, space, desk, caller) for match in EARLIER)


def _work(match: Earlier, cards: Path, space: Workspace, desk: str, caller: AtTheGround) -> Match:
    caller.move_to(_after(match.starts[1], -3600))
    of = add_fixture(space, fixture_of(match), caller.now())
    add_sheet(space, of, sheet_of(match), caller.now())
    add_entries(space, of, log_of(match))
    number = match.first_number
    for picture in match.pictures:
        files = draw(match, picture, cards, number)
        number += len(files)
        caller.wait_until(_after(match.at(picture.period, picture.clock), match.card_after_s))
        take_in(space, of, files, caller)
        _fit(match, space, of, caller)
        _send(space, of, files[0], picture.line, desk, caller)
    return of


def _fit(match: Earlier, space: Workspace, of: Match, caller: AtTheGround) -> None:
    """The display of camera A beside the laptop's clock, read once a match."""
    if Matchday(space, of).fits and all(f.fitted for f in Matchday(space, of).fits.values()):
        return
    before = _after(match.starts[1], -900)
    reading = passage("tackle-29").takes[0].body.reading(before).reading
    add_typed_pair(space, of, "A", reading, before, caller)
    fit_clocks(space, of, caller)


def _send(
    space: Workspace, of: Match, file: Path, line: str, desk: str, caller: AtTheGround
) -> None:
    frame = Matchday(space, of).frame(file.name).id
    caller.move_on(LOOK_S)
    decide(space, of, frame, Decision.USE)
    caller.move_on(TYPE_S)
    write_caption(space, of, frame, line, caller)
    queue_set(space, of, [desk], caller, frames=[frame])
    send_waiting(space, of, caller)


def fixture_of(match: Earlier) -> Fixture:
    """The fixture, at the demo's own ground."""
    planned = _after(match.starts[1], -40)
    return Fixture(
        id=match.day,
        home="SK Lethenbruck",
        away=match.opponent,
        competition="Women's Lantern Cup",
        stage=match.stage,
        kick_off=planned,
        time_zone=TIME_ZONE,
        venue="Stadion an der Leth",
        city="Lethenbruck",
        country="Austria",
        country_code="AUT",
    )


def sheet_of(match: Earlier) -> TeamSheet:
    """The home side's eleven as ever, and the opponent's."""
    own = squads.sheet()
    home = tuple(p for p in own.people if p.side is Side.HOME and (p.starts or not p.role.plays))
    away = tuple(
        Person(
            id=squads.person_id(Side.AWAY, number),
            printed_name=name,
            role=Role.GOALKEEPER if number == 1 else Role.PLAYER,
            side=Side.AWAY,
            number=number,
            family_name=name.split(" ", 1)[1],
            pronouns="she",
            position="GK" if number == 1 else "",
            captain=number == 4,
            starts=True,
        )
        for number, name in enumerate(match.people, 1)
    )
    coach = Person(PersonId("away-coach"), match.coach, Role.HEAD_COACH, Side.AWAY,
                   family_name=match.coach.split(" ", 1)[1], title="head coach")  # fmt: skip
    kits = (Kit("w", "white", "#ece9df"), squads.AWAY_GOALKEEPER_KIT)
    return TeamSheet(
        home=own.home,
        away=SidePeople(match.opponent, match.short_name, kits),
        people=(*home, *away, coach),
        officials_kits=own.officials_kits,
    )


def log_of(match: Earlier) -> list[Entry]:
    """The whistles and the goals, as they were typed."""
    second = match.starts[2]
    ends = {1: _after(match.starts[1], FIRST_HALF_S), 2: _after(second, SECOND_HALF_S)}
    lines = [(start, Kind.KICK_OFF, p) for p, start in match.starts.items()]
    lines += [(end, Kind.PERIOD_END, p) for p, end in ends.items()]
    entries = [
        Entry(EntryId(0), kind, when, Interval.exactly(when), period=period)
        for when, kind, period in lines
    ]
    for period, clock, side, number, how in match.goals:
        when = match.at(period, clock)
        entries.append(
            Entry(EntryId(0), Kind.GOAL, _after(when, 12), Interval.around(when, 1.0), side=side,
                  person=squads.person_id(side, number), how=how)
        )  # fmt: skip
    return sorted(entries, key=lambda e: e.typed)


def draw(match: Earlier, picture: Picture, cards: Path, number: int) -> list[Path]:
    """Draws the frames of one picture as camera A leaves them on its card."""
    known = passage(picture.passage)
    take = replace(known.takes[0], share=min(0.86, known.takes[0].share * match.nearer))
    take = replace(take, spot=(take.spot[0] - 4.0, take.spot[1] + 3.0, take.spot[2]))
    first = next(e for e in exposures() if e.passage == picture.passage and e.camera == "A")
    start = match.at(picture.period, picture.clock)
    drawing = Set(scene_of(take, start))
    cards.mkdir(parents=True, exist_ok=True)
    paths = []
    for n in range(FRAMES_A_PICTURE):
        moment = replace(first.moment, index=n, after_s=n * take.gap_s, soft_px=3.0 * n,
                         noise_at=(number + n, 17))  # fmt: skip
        exposure = replace(first, true=_after(start, n * take.gap_s), moment=moment)
        upright = drawing.frame(moment)
        path = cards / f"SPA_{number + n:04d}.JPG"
        path.write_bytes(_file(exposure, take, upright))
        paths.append(path)
    return paths


def _file(exposure: Exposure, take: Take, upright: np.ndarray) -> bytes:
    high, wide = upright.shape[:2]
    stored = np.ascontiguousarray(upright)
    jpeg = simplejpeg.encode_jpeg(stored, quality=QUALITY, colorspace="RGB", colorsubsampling="422")
    tags = tags_of(exposure, wide, high, 1)
    focal = {"Exif.Photo.FocalLength": f"{take.focal_length_mm}/1",
             "Exif.Photo.FocalLengthIn35mmFilm": str(take.focal_length_mm)}  # fmt: skip
    return with_exif(jpeg, tags | focal, thumbnail(stored))
