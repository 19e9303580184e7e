"""The shot plan's own words: who stands where in a take, which takes make a passage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot
from typing import Literal
from zlib import crc32

import numpy as np

from setpiece.match.instants import Instant
from setpiece.match.people import PersonId, Side
from setpiece.work.demo import wardrobe
from setpiece.work.demo.bodies import BODIES, Body, local
from setpiece.work.demo.light import Light, light_at
from setpiece.work.demo.scene import Actor, Ball, Scene
from setpiece.work.demo.squads import sheet
from setpiece.work.demo.view import View, aim

Seat = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Part:
    """One person in a take. `who` is a shirt (`9r`), a role's identifier, or a stranger's name.

    `back_m` is how far behind the point aimed at; `side` says whose supporter a stranger is.
    """

    who: str
    across: float
    poses: tuple[str, ...]
    yaw_deg: float
    back_m: float = 0.0
    drift: float = 0.0
    held: str = ""
    plain: bool = False
    side: Side | None = None
    lift_m: float = 0.0
    coat: bool = False

    def in_turn(self, count: int) -> tuple[str, ...]:
        """A pose for each of so many frames: a stride goes round, anything else happens once."""
        if set(self.poses) <= _STRIDES:
            return tuple(self.poses[index % len(self.poses)] for index in range(count))
        return tuple(self.poses[index * len(self.poses) // count] for index in range(count))


_STRIDES = {"run", "jog", "sprint", "walk", "ball at feet"}


@dataclass(frozen=True, slots=True)
class Take:
    """What one camera shoots in a passage: framing, people, number of frames.

    `share` is how much of the frame's height a standing person fills at the point aimed at; the
    focal length follows from it within what the lens can do. `keen` takes hold the sharpest
    frame of the passage.
    """

    camera: str
    seat: Seat
    spot: Seat
    share: float
    parts: tuple[Part, ...]
    count: int
    gap_s: float = 0.14
    delay_s: float = 0.0
    upright: bool = False
    keen: bool = True
    ball: Ball | None = None
    f_number: float = 2.8
    shutter_s: float = 1 / 1600
    extras: int = 0
    through_net: bool = False
    everything_sharp: bool = False
    phone: bool = False
    softness: Literal["focus", "sideways", "upright"] = "focus"

    @property
    def distance_m(self) -> float:
        """Level distance from the seat to the point aimed at."""
        return hypot(self.spot[0] - self.seat[0], self.spot[1] - self.seat[1])

    @property
    def body(self) -> Body:
        """The camera that takes it."""
        return BODIES[self.camera]

    @property
    def focal_length_mm(self) -> int:
        """Focal length that gives the share, within the lens's range."""
        side_mm = 36.0 if self.upright else 24.0
        wanted = self.share * side_mm * self.distance_m / 1.70
        return int(np.clip(round(wanted), self.body.shortest_mm, self.body.longest_mm))

    @property
    def aperture(self) -> float:
        """The f-number set: the longest lens opens to f/4 only beyond 400 mm."""
        return max(self.f_number, 4.0) if self.focal_length_mm > 400 else self.f_number

    def view(self) -> View:
        """The framing, upright as it is seen."""
        width, height = self.body.width_px, self.body.height_px
        if self.upright:
            width, height = height, width
        return aim(self.seat, self.spot, self.focal_length_mm, width, height)


@dataclass(frozen=True, slots=True)
class Passage:
    """Frames of one passage of play. `start` is the first take's first exposure.

    `about` is its story in the photographer's words, `kind` what it shows.
    """

    id: str
    start: Instant
    takes: tuple[Take, ...]
    about: str = ""


def person_of(part: Part) -> PersonId | None:
    """Who on the sheet a part is, None for a stranger."""
    if part.side is not None or part.who.startswith("steward"):
        return None
    if part.who[0].isdigit():
        return wardrobe.by_shirt(part.who).id
    return PersonId(part.who)


def scene_of(take: Take, start: Instant) -> Scene:
    """The scene a take is drawn from."""
    view = take.view()
    when = local(start)
    light = light_at(when.hour + when.minute / 60)
    actors = tuple(_actor(part, take) for part in take.parts)
    strangers = (*_extras(take, view), *_stewards(take, view))
    return Scene(
        view=view,
        light=light,
        focus_m=take.distance_m,
        f_number=11.0 if take.everything_sharp else take.aperture,
        actors=actors,
        bystanders=strangers,
        ball=take.ball,
        detail=1.0 if take.everything_sharp else 0.5,
        through_net=take.through_net,
    )


def iso_of(light: Light, shutter_s: float, f_number: float) -> int:
    """A plausible sensitivity for that light: chosen by eye, a third of a stop at a time."""
    open_sun = 12_000.0
    level = open_sun * (0.10 + 0.9 * light.sun) * 0.8 + 900 * light.lamps
    wanted = 250 * f_number**2 / (level * shutter_s)
    steps = np.round(3 * np.log2(np.clip(wanted, 200, 12_800) / 100))
    return int(round(100 * 2 ** (float(steps) / 3) / 10) * 10)


def _actor(part: Part, take: Take) -> Actor:
    person = None
    if part.side is not None:
        look, wear = wardrobe.supporter(part.who, part.side)
    elif part.who.startswith("steward"):
        look, wear = wardrobe.look(part.who), wardrobe.STEWARD
    else:
        ident = person_of(part)
        person = next(p for p in sheet().people if p.id == ident)
        look, wear = wardrobe.look(str(ident)), wardrobe.wear(person)
        if part.coat:
            wear = wardrobe.HOME_TRACKSUIT if person.side is Side.HOME else wardrobe.AWAY_TRACKSUIT
    printed = person is not None and person.role.plays and not part.plain and not part.coat
    return Actor(
        look=look,
        wear=wear,
        across=part.across,
        distance_m=take.distance_m + part.back_m,
        poses=part.in_turn(take.count),
        yaw_deg=part.yaw_deg,
        number=str(person.number) if printed and person is not None else "",
        name=wardrobe.shirt_name(person) if printed and person is not None else "",
        armband=person is not None and person.captain and not part.coat,
        held=part.held,
        drift=part.drift,
        lift_m=part.lift_m,
    )


def _extras(take: Take, view: View) -> list[Actor]:
    """Players far behind the subject, too soft to be told apart: no number, nobody named."""
    rng = np.random.default_rng([crc32(repr(take.spot).encode()), take.extras])
    poses = ("run", "jog", "walk", "stand", "sprint")
    found = []
    for index in range(take.extras):
        home = bool(rng.random() < 0.5)
        found.append(
            Actor(
                look=wardrobe.look(f"extra {index} {take.spot}"),
                wear=wardrobe.HOME if home else wardrobe.AWAY,
                across=float(rng.uniform(-0.46, 0.46)),
                distance_m=take.distance_m + float(rng.uniform(11, 26)),
                poses=(poses[rng.integers(len(poses))],),
                yaw_deg=float(rng.uniform(-150, 150)),
            )
        )
    return found


_POSTS = (
    *((x, 71.4) for x in (6.0, 33.0, 60.0, 88.0)),
    *((-3.4, y) for y in (6.0, 24.0, 47.0, 62.0)),
    *((108.4, y) for y in (4.0, 24.0, 44.0, 63.0)),
)


def _stewards(take: Take, view: View) -> list[Actor]:
    """Stewards along the boards wherever the framing reaches them."""
    found = []
    right, _, _ = view.axes()
    for index, (x, y) in enumerate(_POSTS):
        away = np.array([x, y, 0.0]) - view.position
        ahead = np.array([right[1] * -1, right[0], 0.0])
        distance = float(away @ ahead)
        if distance < take.distance_m + 8:
            continue
        across = float(away @ right) / (distance * view.width_px / view.focal_px)
        if abs(across) < 0.6:
            found.append(
                Actor(
                    look=wardrobe.look(f"steward {index}"),
                    wear=wardrobe.STEWARD,
                    across=across,
                    distance_m=distance,
                    poses=("folded" if index % 3 else "stand easy",),
                    yaw_deg=(0.0, 25.0, -30.0)[index % 3],
                )
            )
    return found


def spread(take: Take, places: tuple[tuple[str, float, float, str, float], ...]) -> Take:
    """The take with people at places of the pitch: who, x, y, pose, yaw."""
    view = take.view()
    right, _, _ = view.axes()
    ahead = np.array([-right[1], right[0], 0.0])
    parts = []
    for who, x, y, pose, yaw in places:
        away = np.array([x, y, 0.0]) - view.position
        distance = float(away @ ahead)
        if distance < 1:
            continue
        across = float(away @ right) / (distance * view.width_px / view.focal_px)
        if abs(across) < 0.53:
            parts.append(Part(who, across, (pose,), yaw, back_m=distance - take.distance_m))
    return replace(take, parts=(*take.parts, *parts))
