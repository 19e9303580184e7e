"""A small invented match in a workspace, made through the store: for the tests of the screen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import cv2
import numpy as np

from setpiece.frames.camera_clock import ClockFit
from setpiece.frames.identity import FileFacts
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.fixture import Fixture
from setpiece.match.instants import CameraTime, Instant, Interval, instant
from setpiece.match.people import Kit, Person, PersonId, Role, Side, SidePeople, TeamSheet
from setpiece.pictures.focus import FocusFigure
from setpiece.pictures.look import Look
from setpiece.pictures.metadata import CameraMetadata
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.send.sender import Receipt
from setpiece.store.captions import captions_of
from setpiece.store.files import StoredFile, add_file
from setpiece.store.forms import to_json
from setpiece.store.frames import (
    Decision,
    FrameDraft,
    camera_for,
    decide,
    save_fit,
    save_frames,
    save_look,
)
from setpiece.store.leases import claim
from setpiece.store.matches import Match, add_entries, add_fixture, add_sheet, match_folder
from setpiece.store.outbox import (
    Delivery,
    Event,
    State,
    StoredDesk,
    queue,
    record,
    save_desk,
)
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.intake.look import previews
from setpiece.work.job import Unattended
from setpiece.work.settings import Settings, write_settings

KICK_OFF = instant(datetime(2027, 3, 6, 14, 0, tzinfo=UTC))
SECOND_HALF = instant(KICK_OFF + timedelta(minutes=63))
LATER = instant(KICK_OFF + timedelta(hours=3))


def at(period: int, minute: float) -> Instant:
    """True time of that minute on the clock of the first or the second half."""
    start = KICK_OFF if period == 1 else SECOND_HALF - timedelta(minutes=45)
    return instant(start + timedelta(minutes=minute))


HOME_NAMES = (
    (1, "Brigid Aldermoor", "GK"), (2, "Tove Lindqvarn", "DF"), (3, "Amara Oyinbo-Reed", "DF"),
    (4, "Júlia Vasarhegyi", "DF"), (5, "Nell Garrowby", "DF"), (6, "Ines do Valmar", "MF"),
    (7, "Sanne Kuipersloot", "MF"), (8, "Orla Tannahay", "MF"), (9, "Freya Ostmark", "FW"),
    (10, "Livia Corradetti", "MF"), (11, "Maud Ostmark", "FW"), (14, "Pia Hollenstedt", "MF"),
)  # fmt: skip
AWAY_NAMES = (
    (1, "Delphine Roquefeuil", "GK"), (2, "Yuki Hanamori", "DF"), (3, "Cora Penhallow", "DF"),
    (4, "Agnieszka Wrzos", "DF"), (5, "Zsófia Kerekdomb", "DF"), (6, "Elif Gündoğmuş", "MF"),
    (7, "Rhona McAuchter", "MF"), (8, "Beatriz Solveira", "MF"), (9, "Ngozi Adembe", "FW"),
    (10, "Ronja Silfversparre", "FW"), (11, "Tess O’Loughlane", "FW"), (17, "Ada Wintersloe", "FW"),
)  # fmt: skip


def people(side: Side, names: Iterable[tuple[int, str, str]]) -> list[Person]:
    """One club's players; those with a shirt up to 11 start."""
    return [
        Person(
            PersonId(f"{side.value}-{number}"),
            name,
            Role.GOALKEEPER if position == "GK" else Role.PLAYER,
            side,
            number,
            family_name=name.split()[-1],
            pronouns="she",
            position=position,
            captain=number == 4,
            starts=number <= 11,
        )
        for number, name, position in names
    ]


def sheet() -> TeamSheet:
    """Both clubs, a head coach, a manager and the referee."""
    return TeamSheet(
        SidePeople(
            "Eastmere Rovers Women",
            "Eastmere",
            (Kit("r", "red", "#b5382a"), Kit("g", "green", "#2e8c58", goalkeeper=True)),
        ),
        SidePeople(
            "Calder Haven",
            "Calder Haven",
            (Kit("b", "blue", "#2d4f8b"), Kit("y", "yellow", "#e3bf3c", goalkeeper=True)),
        ),
        (
            *people(Side.HOME, HOME_NAMES),
            *people(Side.AWAY, AWAY_NAMES),
            Person(PersonId("home-coach"), "Marta Quillfeather", Role.HEAD_COACH, Side.HOME),
            Person(PersonId("away-manager"), "Joan Brackenridge", Role.MANAGER, Side.AWAY),
            Person(PersonId("ref"), "Hedda Stromvik", Role.REFEREE),
        ),
        (Kit("k", "black", "#26272b"),),
    )


def fixture() -> Fixture:
    """A cup semi-final on invented ground."""
    return Fixture(
        id="",
        home="Eastmere Rovers Women",
        away="Calder Haven",
        competition="Vale Cup",
        stage="semi-final",
        kick_off=KICK_OFF,
        time_zone="Europe/Berlin",
        venue="Fennel Lane",
        city="Eastmere",
        country="Valeland",
        country_code="VAL",
    )


def entry(kind: Kind, when: Instant, typed_late_s: float = 0.0, **more: object) -> Entry:
    """An entry that happened then, typed so many seconds later."""
    typed = instant(when + timedelta(seconds=typed_late_s))
    return Entry(EntryId(0), kind, typed, Interval.exactly(when), **more)  # type: ignore[arg-type]


def log() -> list[Entry]:
    """A match with goals, an own goal, a disallowed goal, a saved penalty, cards, changes."""
    home, away = Side.HOME, Side.AWAY

    def who(side: Side, number: int) -> PersonId:
        return PersonId(f"{side.value}-{number}")

    return [
        entry(Kind.KICK_OFF, KICK_OFF, period=1),
        entry(Kind.GOAL, at(1, 16.4), 8, side=home, person=who(home, 9), other=who(home, 7),
              how=How.HEADER),
        entry(Kind.YELLOW, at(1, 31.2), 5, side=away, person=who(away, 5)),
        entry(Kind.GOAL, at(1, 46.3), 40, side=away, person=who(home, 4), how=How.OWN_GOAL),
        entry(Kind.PERIOD_END, at(1, 47.9), period=1),
        entry(Kind.KICK_OFF, SECOND_HALF, period=2),
        entry(Kind.GOAL, at(2, 57.5), 20, side=away, person=who(away, 9),
              standing=Standing.DISALLOWED, note="offside"),
        entry(Kind.PENALTY_SAVED, at(2, 67.3), 12, side=away, person=who(away, 10),
              other=who(home, 1)),
        entry(Kind.GOAL, at(2, 73.6), 35, side=home, person=who(home, 9), how=How.FREE_KICK),
        entry(Kind.SUBSTITUTION, at(2, 74.5), 6, side=away, person=who(away, 8),
              other=who(away, 17)),
        entry(Kind.PERIOD_END, at(2, 94.2), period=2),
    ]  # fmt: skip


@dataclass(frozen=True)
class Shot:
    """One frame to draw: when, by which camera, how blurred, upright or not."""

    when: Instant
    camera: str = "A"
    blur_px: float = 0.0
    upright: bool = False
    shirts: tuple[tuple[int, str], ...] = ((9, "r"),)


def burst(when: Instant, count: int, camera: str = "A", **more: object) -> list[Shot]:
    """Frames a fifth of a second apart, the middle one sharpest."""
    return [
        Shot(instant(when + timedelta(seconds=0.2 * i)), camera, 1.2 * abs(i - count // 2), **more)  # type: ignore[arg-type]
        for i in range(count)
    ]


def shots() -> list[Shot]:
    """Warm-up, play, goals and celebrations."""
    red, both = ((9, "r"), (11, "r")), ((5, "b"), (9, "r"))
    return [
        *burst(at(1, -28), 3), *burst(at(1, -22), 2, "B"),
        *burst(at(1, 4.2), 5, shirts=both), *burst(at(1, 16.38), 4, shirts=((9, "r"),)),
        *burst(at(1, 16.6), 11, shirts=red), *burst(at(1, 16.62), 5, "B", upright=True),
        *burst(at(1, 31.1), 6, shirts=((5, "b"),)), *burst(at(1, 46.31), 7, shirts=both),
        *burst(at(1, 51), 3, "B"), *burst(at(2, 57.45), 6, shirts=((9, "b"),)),
        *burst(at(2, 67.28), 8, shirts=((1, "r"), (10, "b"))),
        *burst(at(2, 73.58), 4), *burst(at(2, 73.8), 10, shirts=red),
        *burst(at(2, 73.82), 3, "B", upright=True), *burst(at(2, 88.2), 26, shirts=both),
        *burst(at(2, 95), 4, shirts=red),
    ]  # fmt: skip


COLOURS = {"r": (181, 56, 42), "b": (45, 79, 139)}


def drawn(shot: Shot, long_side_px: int, seed: int) -> np.ndarray:
    """A stand, a striped pitch and players with numbers, blurred as asked."""
    wide, high = (2, 3) if shot.upright else (3, 2)
    width, height = long_side_px * wide // 3, long_side_px * high // 3
    noise = np.random.default_rng(seed)
    picture = np.zeros((height, width, 3), np.uint8)
    horizon = height * 2 // 5
    picture[:horizon] = noise.integers(24, 70, (horizon, width, 1), dtype=np.uint8)
    for i in range(9):
        left, right = i * width // 9, (i + 1) * width // 9
        picture[horizon:, left:right] = (64, 110, 60) if i % 2 else (76, 124, 70)
    for i, (number, kit) in enumerate(shot.shirts):
        _player(picture, int(width * (0.42 + 0.22 * i + 0.002 * (seed % 17))), number, COLOURS[kit])
    if shot.blur_px:
        picture = cv2.GaussianBlur(picture, (0, 0), shot.blur_px * long_side_px / 1600)
    return picture


def _player(picture: np.ndarray, x: int, number: int, colour: tuple[int, int, int]) -> None:
    height = picture.shape[0]
    unit = height // 12
    top = height * 4 // 12
    cv2.circle(picture, (x, top), unit * 3 // 4, (214, 168, 128), -1, cv2.LINE_AA)
    cv2.rectangle(picture, (x - unit, top + unit), (x + unit, top + 4 * unit), colour, -1)
    for s in (-1, 1):
        cv2.line(picture, (x + s * unit, top + unit), (x + s * 2 * unit, top - unit), colour,
                 max(2, unit // 2), cv2.LINE_AA)  # fmt: skip
        cv2.line(picture, (x + s * unit // 2, top + 4 * unit), (x + s * unit, top + 7 * unit),
                 (32, 30, 28), max(2, unit // 2), cv2.LINE_AA)  # fmt: skip
    cv2.putText(picture, str(number), (x - unit * 3 // 4, top + unit * 3),
                cv2.FONT_HERSHEY_SIMPLEX, unit / 24, (255, 255, 255), max(1, unit // 9),
                cv2.LINE_AA)  # fmt: skip


def jpeg(picture: np.ndarray) -> bytes:
    """The picture as JPEG."""
    _, data = cv2.imencode(".jpg", picture[:, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, 85])
    return data.tobytes()


@dataclass(frozen=True)
class Made:
    """The workspace's folder, the match, and its frame ids in order of time."""

    folder: Path
    match: Match
    frames: tuple[str, ...]


def add_frames(
    space: Workspace, of: Match, taken: Sequence[Shot], *, long_side_px: int = 480
) -> tuple[str, ...]:
    """Draws frames and puts them into the workspace with their looks and small pictures."""
    small = previews(space)
    small.mkdir(exist_ok=True)
    folder = match_folder(space, of) / "frames"
    bodies = {c: camera_for(space, "Nordlys", "Mark II", f"77{ord(c)}") for c in "AB"}
    ids, drafts, looks = [], [], {}
    for number, shot in enumerate(taken, 1):
        frame_id = f"f{number:012x}"
        picture = drawn(shot, long_side_px, number)
        data = jpeg(picture)
        name = f"{shot.camera}{number:04d}.JPG"
        (folder / name).write_bytes(data)
        height, width = picture.shape[:2]
        scale = 320 / max(width, height)
        (small / f"{frame_id}-s.jpg").write_bytes(
            jpeg(cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA))
        )
        (small / f"{frame_id}-m.jpg").write_bytes(data)
        local = (shot.when + timedelta(hours=1)).replace(tzinfo=None)
        time = CameraTime(local, 0.01, 60)
        metadata = CameraMetadata(
            "Nordlys", "Mark II", bodies[shot.camera].serial, "", "", time, number,
            focal_length_mm=400.0 if shot.camera == "A" else 85.0, f_number=2.8,
            exposure_s=1 / 1600, iso=2000, width_px=width, height_px=height,
        )  # fmt: skip
        content = f"{number:032x}"
        facts = FileFacts(content, name, "card", "JPEG", len(data), metadata.serial, time, number)
        stored = StoredFile(content, f"frames/{name}", name, "card", "JPEG", len(data), False,
                            facts, to_json(metadata))  # fmt: skip
        add_file(space, of, stored, LATER)
        drafts.append(
            FrameDraft(
                frame_id,
                f"{shot.camera}-{number:04d}",
                bodies[shot.camera].id,
                time,
                number,
                to_json(metadata),
                f"frames/{name}",
                False,
                False,
                "",
                (content,),
            )
        )
        sharp = FocusFigure(1000 / (1 + shot.blur_px), (0.4, 0.3, 0.2, 0.2), "sharp")
        looks[frame_id] = to_json(Look(True, False, width, height, sharp))
        ids.append(frame_id)
    save_frames(space, of, drafts, LATER)
    save_look(space, of, looks)
    return tuple(ids)


def make(folder: Path, taken: Sequence[Shot] | None = None, **more: int) -> Made:
    """The whole small match in a new workspace."""
    space = Workspace.create(folder)
    match = add_fixture(space, fixture(), LATER)
    add_sheet(space, match, sheet(), LATER)
    add_entries(space, match, log())
    ids = add_frames(space, match, shots() if taken is None else taken, **more)
    for camera in "AB":
        body = camera_for(space, "Nordlys", "Mark II", f"77{ord(camera)}")
        fit = ClockFit(0.0, 0.1, 0.0, None, 2, 0, (), "intersection", KICK_OFF)
        save_fit(space, match, body.id, fit, LATER)
    if taken is None:
        _worked(space, match, ids)
    space.close()
    return Made(folder, match, ids)


def _worked(space: Workspace, of: Match, ids: tuple[str, ...]) -> None:
    """Some frames decided, captioned, sent and refused."""
    caller = Unattended(LATER)
    write_settings(space, Settings("Ida Fenwright"))
    for number, line in (
        (12, "9r heads"),
        (20, "9r celebrates"),
        (73, "9r left celebrates with 11r right"),
    ):
        write_caption(space, of, ids[number], line, caller)
        decide(space, of, ids[number], Decision.USE)
    decide(space, of, ids[70], Decision.SPIKE)
    decide(space, of, ids[75], Decision.HOLD)
    for desk in ("north", "gazette"):
        address = DeskAddress(Protocol.FTP, f"ftp.{desk}.example", None, "press", "/in")
        save_desk(space, StoredDesk(desk, to_json(address), desk), LATER)
    for frame, desk, fate in (
        (12, "north", "arrived"), (12, "gazette", "arrived"), (20, "north", "arrived"),
        (20, "gazette", "refuse"), (73, "north", ""),
    ):  # fmt: skip
        _send(space, of, ids[frame], desk, fate)


def _send(space: Workspace, of: Match, frame_id: str, desk: str, fate: str) -> None:
    name = f"20270306-{frame_id[-4:]}.jpg"
    said = captions_of(space, of)[frame_id].caption
    draft = Delivery(0, of.id, frame_id, 1, desk, "x", "x", f"set/{desk}/{name}", "/in", name,
                     1_412_000, State.QUEUED, LATER.isoformat(), caption=said)  # fmt: skip
    queue(space, of, draft)
    if not fate:
        return
    item = claim(space, of, "test", LATER)
    assert item is not None
    if fate == "arrived":
        receipt = Receipt(f"/in/{name}", 1_412_000, at(2, 80), 6.2, 0, "226 done")
        record(space, item, Event.ARRIVED, receipt=to_json(receipt), words="")
    else:
        record(space, item, Event.REFUSE, words="552 quota exceeded")


HOSTILE = (
    "<img src=x onerror=alert(1)>",
    "\"quoted\" 'name'",
    "‮Reversed Name",
    "Long " + "name " * 58,
    "D’Artagnan-O'Neil",
    "Star ⭐ Player",
)
"""Names nobody has, that a page must stand."""


def hostile_sheet() -> TeamSheet:
    """The sheet with hostile names in shirts 9, 7 and more."""
    plain = sheet()
    named = dict(zip((9, 7, 4, 10, 11, 1), HOSTILE, strict=True))
    return replace(
        plain,
        people=tuple(
            replace(p, printed_name=named[p.number]) if p.side and p.number in named else p
            for p in plain.people
        ),
    )
