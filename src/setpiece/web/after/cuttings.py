"""Cuttings that wait for a person's word: what was found, why, and the comparison drawn."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import FastAPI
from fastapi.responses import Response

from setpiece.books.cuttings import State, Verdict
from setpiece.store.matches import matches
from setpiece.store.workspace import Workspace
from setpiece.web.answered import answered
from setpiece.web.desk_room import WebDesk
from setpiece.web.wording import Wording
from setpiece.work.cuttings.kept import Cutting, confirm, cuttings, drawn, reject
from setpiece.work.desk.desks import known_desks

MOST = 12

_TONES = {Verdict.THIS_FRAME: "right", Verdict.SAME_MOMENT: "doubt", Verdict.LOOK: "doubt"}
_NAMES = {Verdict.THIS_FRAME: "this-frame", Verdict.SAME_MOMENT: "same-moment",
          Verdict.LOOK: "look"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Clip:
    """One cutting to be confirmed. `frame` is the handle of what it shows, `why` the reasons."""

    number: int
    name: str
    verdict: str
    tone: str
    sure: bool
    frame: str
    frame_id: str
    folder: str
    match: str
    why: str
    outlet: str
    day: str
    placement: str


@dataclass(frozen=True, slots=True)
class Clips:
    """The cuttings to be confirmed, how many more wait, and the desks there are."""

    shown: tuple[Clip, ...]
    more: int
    desks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Yes:
    """What a person typed who confirms a cutting."""

    outlet: str = ""
    day: str = ""
    placement: str = ""
    desk: str = ""


@dataclass(frozen=True, slots=True)
class No:
    """Why a cutting is not this picture, or not to be charged."""

    reason: str = ""


def clips(space: Workspace, words: Wording) -> Clips:
    """The open cuttings in which something was found; the surest first."""
    waiting = [c for c in cuttings(space, State.OPEN) if c.found]
    waiting.sort(key=lambda c: (list(Verdict).index(c.verdict), c.number))
    titles = {m.folder: f"{m.fixture.home} – {m.fixture.away}" if m.fixture else m.folder
              for m in matches(space)}  # fmt: skip
    shown = tuple(_clip(c, titles, words) for c in waiting[:MOST])
    desks = tuple(d.name for d in known_desks(space))
    return Clips(shown, max(0, len(waiting) - MOST), desks)


def _clip(one: Cutting, titles: dict[str, str], words: Wording) -> Clip:
    best = one.found[0]
    known = one.publication
    return Clip(
        number=one.number,
        name=one.name,
        verdict=words(f"after.{_NAMES.get(one.verdict, 'look')}"),
        tone=_TONES.get(one.verdict, "doubt"),
        sure=one.verdict is Verdict.THIS_FRAME,
        frame=best.frame,
        frame_id=best.sighting.name,
        folder=best.match,
        match=titles.get(best.match, best.match),
        why=words.told("; ".join(best.sighting.why)),
        outlet=known.outlet,
        day=known.day,
        placement=known.placement,
    )


def add_cuttings(app: FastAPI, desk: WebDesk) -> None:
    """Adds the picture of each cutting beside its frame, and a person's yes or no."""
    words = desk.words

    @app.get("/cutting/{number}.jpg")
    def picture(number: int) -> Response:
        return Response(drawn(desk.space, number), media_type="image/jpeg",
                        headers={"cache-control": "no-cache"})  # fmt: skip

    @app.post("/cutting/{number}/confirm")
    def yes(number: int, said: Yes) -> Response:
        def act() -> str:
            noted = confirm(desk.space, number, desk.caller, desk=said.desk.strip(),
                            outlet=said.outlet.strip(), day=said.day.strip(),
                            placement=said.placement.strip())  # fmt: skip
            return words("after.noted", number=noted.entry.number)

        return answered(act)

    @app.post("/cutting/{number}/reject")
    def no(number: int, said: No) -> Response:
        def act() -> str:
            reject(desk.space, number, said.reason.strip() or words("after.not-mine"), desk.caller)
            return words("after.rejected")

        return answered(act)
