"""What is written down before the match: the fixture, the team sheet, its kits."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import FastAPI, Request
from fastapi.responses import Response

from setpiece.errors import NotFound, WrongUse
from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant, instant
from setpiece.match.people import Kit, Person, Role
from setpiece.store.matches import add_fixture, add_sheet, newest_sheet, save_fixture
from setpiece.web.answered import answered
from setpiece.web.asked import whole_number
from setpiece.web.before.page import PRONOUNS, before, shown_colour
from setpiece.web.before.planning import add_planning, plan_values
from setpiece.web.desk_room import WebDesk
from setpiece.web.mast import mast
from setpiece.work.before.sheets import add_kit, import_sheet
from setpiece.work.matchday import Matchday


@dataclass(frozen=True, slots=True)
class FixtureForm:
    """A fixture as typed; `kick_off` is local to the ground."""

    home: str
    away: str
    competition: str
    kick_off: str
    zone: str
    stage: str = ""
    venue: str = ""
    city: str = ""
    state: str = ""
    country: str = ""
    country_code: str = ""


@dataclass(frozen=True, slots=True)
class PasteForm:
    """A pasted sheet, of both sides or of one."""

    text: str
    side: str = ""


@dataclass(frozen=True, slots=True)
class PersonForm:
    """One row of the sheet, corrected. What is not sent is off."""

    id: str
    name: str
    number: str = ""
    known_as: str = ""
    family_name: str = ""
    pronouns: str = ""
    position: str = ""
    role: str = ""
    title: str = ""
    captain: str = ""
    starts: str = ""
    under_18: str = ""


@dataclass(frozen=True, slots=True)
class KitForm:
    """A kit of `wearer`: home, away or officials."""

    wearer: str
    letter: str
    colour: str
    shown: str = "#808080"
    goalkeeper: str = ""


def add_papers(app: FastAPI, desk: WebDesk) -> None:
    """Adds the page before the match and what it sends."""
    words = desk.words
    add_planning(app, desk)

    @app.get("/fixtures/new")
    def new_page(request: Request) -> Response:
        return desk.page(request, "fixture.html", today=words.day(desk.now(), "UTC"))

    @app.post("/fixtures")
    def make(form: FixtureForm) -> Response:
        def act() -> str:
            made = add_fixture(desk.space, fixture_of(form), desk.now())
            return f"/match/{made.folder}/before"

        return answered(act)

    @app.get("/match/{folder}/before")
    def before_page(request: Request, folder: str) -> Response:
        day = desk.standing.of(folder)
        return desk.page(request, "before.html", **_values(desk, day), **plan_values(desk, day))

    @app.get("/match/{folder}/pad")
    def pad_page(request: Request, folder: str) -> Response:
        return desk.page(request, "pad.html", **_values(desk, desk.standing.of(folder)))

    @app.post("/match/{folder}/fixture")
    def correct_fixture(folder: str, form: FixtureForm) -> Response:
        def act() -> str:
            day = desk.standing.of(folder)
            changed = fixture_of(form)
            kept = day.fixture
            save_fixture(
                desk.space,
                day.match,
                replace(
                    changed,
                    id=kept.id,
                    rules=kept.rules,
                    latitude_deg=kept.latitude_deg,
                    longitude_deg=kept.longitude_deg,
                ),
            )
            return words("before.fixture-kept")

        return answered(act)

    @app.post("/match/{folder}/sheet")
    def paste(folder: str, form: PasteForm) -> Response:
        def act() -> str:
            match = desk.standing.of(folder).match
            done = import_sheet(desk.space, match, form.text, "", form.side, desk.caller)
            said = [words.count("before.read", done.people)]
            said += [words("before.not-understood", line=line) for line in done.not_understood]
            return "\n".join(said)

        return answered(act)

    @app.post("/match/{folder}/person")
    def correct(folder: str, form: PersonForm) -> Response:
        def act() -> str:
            _correct(desk, desk.standing.of(folder), form)
            return words("before.person-kept", name=form.name)

        return answered(act)

    @app.post("/match/{folder}/kit")
    def kit(folder: str, form: KitForm) -> Response:
        def act() -> str:
            made = Kit(form.letter.strip().lower(), form.colour.strip(), form.shown,
                       form.goalkeeper == "on")  # fmt: skip
            match = desk.standing.of(folder).match
            add_kit(desk.space, match, form.wearer, made, desk.caller)
            return words("before.kit-kept", letter=made.letter, colour=made.colour)

        return answered(act)


def fixture_of(form: FixtureForm) -> Fixture:
    """The fixture a form describes. Raises WrongUse."""
    for name in ("home", "away", "competition"):
        if not getattr(form, name).strip():
            raise WrongUse("this must be filled in", thing=name)
    return Fixture(
        id="",
        home=form.home.strip(),
        away=form.away.strip(),
        competition=form.competition.strip(),
        kick_off=_kick_off(form.kick_off, form.zone.strip()),
        time_zone=form.zone.strip(),
        stage=form.stage.strip(),
        venue=form.venue.strip(),
        city=form.city.strip(),
        state=form.state.strip(),
        country=form.country.strip(),
        country_code=form.country_code.strip().upper(),
    )


def _kick_off(text: str, zone: str) -> Instant:
    try:
        return instant(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)))
    except (ValueError, KeyError, OSError) as error:
        raise WrongUse(
            "kick-off or zone is not understood",
            thing=f"{text} {zone}".strip(),
            next_step="Write 2027-03-06 15:30 and a zone like Europe/Vienna.",
        ) from error


def _correct(desk: WebDesk, day: Matchday, form: PersonForm) -> None:
    sheet = newest_sheet(desk.space, day.match)
    known = next((p for p in sheet.people if p.id == form.id), None) if sheet else None
    if sheet is None or known is None:
        raise NotFound("the sheet has no such person", thing=form.name)
    changed = _corrected(known, form)
    people = tuple(changed if p.id == known.id else p for p in sheet.people)
    add_sheet(desk.space, day.match, replace(sheet, people=people), desk.now())


def _corrected(known: Person, form: PersonForm) -> Person:
    number = whole_number(form.number)
    if form.number and number is None:
        raise WrongUse("a shirt number is a number", thing=form.number)
    roles = {r.value: r for r in Role}
    return replace(
        known,
        printed_name=form.name.strip(),
        number=number,
        earlier_number=known.number if number != known.number else known.earlier_number,
        known_as=form.known_as.strip(),
        family_name=form.family_name.strip(),
        pronouns=form.pronouns if form.pronouns in PRONOUNS else "",
        position=form.position.strip(),
        role=roles.get(form.role, known.role),
        title=form.title.strip(),
        captain=form.captain == "on",
        starts=form.starts == "on",
        under_18=form.under_18 == "on",
    )


def _values(desk: WebDesk, day: Matchday) -> dict[str, Any]:
    return {
        "mast": mast(day, desk.now(), desk.words),
        "before": before(day, desk.words),
        "folder": day.match.folder,
        "pronouns": PRONOUNS,
        "colour": shown_colour,
    }
