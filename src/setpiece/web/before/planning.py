"""The addresses of the plan: drawings, what is wanted, the day, and the page for the pocket."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from setpiece.errors import NotFound, SetpieceError
from setpiece.match.entries import current
from setpiece.match.people import PersonId
from setpiece.plan.day import calendar
from setpiece.plan.drawings.canvas import STYLE
from setpiece.plan.sheet import DaySheet
from setpiece.plan.sheet_page import SHEET_STYLE, sheet_html
from setpiece.plan.typed import read_contact
from setpiece.plan.wants import STORIES
from setpiece.store.wants import strike_want
from setpiece.web.answered import NO_STORE, answered
from setpiece.web.asked import whole_number
from setpiece.web.before.plan import KINDS, ORIENTATIONS, plan_shown, read_plan
from setpiece.web.before.wants import want_of, wants_shown
from setpiece.web.desk_room import WebDesk
from setpiece.work.before.plan import day_sheet, ground_of
from setpiece.work.before.plan_pdf import sheet_pdf
from setpiece.work.before.wants import (
    change_choices,
    choices_of,
    still_wanted,
    strike_shot,
    write_want,
)
from setpiece.work.matchday import Matchday

STYLES = ("/plan.css", "/plan-sheet.css")


@dataclass(frozen=True, slots=True)
class PlanForm:
    """The plan's form as a query: its fields repeat, row by row."""

    plan: str


@dataclass(frozen=True, slots=True)
class WantForm:
    """A want as typed: of `person`, of a `story` to begin with, or of one's own words."""

    id: str = ""
    person: str = ""
    angle: str = ""
    note: str = ""
    story: str = ""
    title: str = ""
    subjects: str = ""
    when: str = ""
    upright: str = ""
    count: str = ""
    who: str = ""


@dataclass(frozen=True, slots=True)
class StrikeForm:
    """A line to strike or to put back: a want's number, or a line's key."""

    id: str = ""
    key: str = ""
    back: str = ""


@dataclass(frozen=True, slots=True)
class DayForm:
    """The list's template, and the day: way, cameras, weather, whom to ring."""

    template: str = ""
    travel: str = ""
    bodies: str = ""
    rain: str = ""
    contacts: str = ""


def add_planning(app: FastAPI, desk: WebDesk) -> None:
    """Adds everything of the plan."""
    _add_drawings(app, desk)
    _add_wants(app, desk)
    _add_pocket(app, desk)


def plan_values(desk: WebDesk, day: Matchday) -> dict[str, Any]:
    """What the page before the match shows of plan, wants and day."""
    shown = plan_shown(day, desk.words)
    wanted = still_wanted(day, desk.now()) if current(day.log) or day.frames else None
    sheet = day_sheet(day, shown.ground)
    return {
        "plan": shown,
        "wants": wants_shown(day, wanted, desk.words),
        "orientations": ORIENTATIONS,
        "kinds": KINDS,
        "times": [
            (desk.words.clock(e.at, day.fixture.time_zone, seconds=False),
             desk.words(f"times.{e.key}", home=day.fixture.home, away=day.fixture.away))
            for e in sheet.entries
        ],
        "bag": [
            desk.words.count("bag.cameras", int(item.value)) if item.key == "cameras"
            else desk.words(f"bag.{item.key}", what=item.value)
            for _, items in sheet.bag for item in items
        ],
    }  # fmt: skip


def _add_drawings(app: FastAPI, desk: WebDesk) -> None:
    @app.get("/plan.css")
    def drawing_style() -> Response:
        return _style(STYLE)

    @app.get("/plan-sheet.css")
    def sheet_style() -> Response:
        return _style(SHEET_STYLE)

    @app.get("/match/{folder}/plan/map")
    def map_fragment(request: Request, folder: str) -> Response:
        return _drawn(desk, request, folder, "_before_map.html")

    @app.get("/match/{folder}/plan/figures")
    def figures_fragment(request: Request, folder: str) -> Response:
        return _drawn(desk, request, folder, "_before_figures.html")

    @app.post("/match/{folder}/plan")
    def keep(folder: str, form: PlanForm) -> Response:
        def act() -> str:
            day = desk.standing.of(folder)
            choices, _ = read_plan(form.plan, choices_of(desk.space, day.match))
            fields = ("seats", "lenses", "sensor", "pixels", "shutter", "frames_per_s",
                      "focal_length_mm", "orientation", "kind", "start", "speed_m_s")  # fmt: skip
            changed = {name: getattr(choices, name) for name in fields}
            change_choices(desk.space, day.match, desk.caller, **changed)
            return desk.words("plan.kept")

        return answered(act)


def _drawn(desk: WebDesk, request: Request, folder: str, template: str) -> Response:
    """A fragment of drawings, or the sentence that says why there is none."""
    day = desk.standing.of(folder)
    try:
        shown = plan_shown(day, desk.words, request.url.query)
        return desk.page(request, template, plan=shown, folder=folder)
    except SetpieceError as error:
        return JSONResponse({"wrong": desk.words.told(str(error))}, 422, headers=NO_STORE)


def _add_wants(app: FastAPI, desk: WebDesk) -> None:
    words = desk.words

    @app.post("/match/{folder}/want")
    def want(folder: str, form: WantForm) -> Response:
        def act() -> str:
            day = desk.standing.of(folder)
            if form.person and day.sheet.person(PersonId(form.person)) is None:
                raise NotFound("the sheet has no such person", thing=form.person)
            made = STORIES.get(form.story) or want_of(
                form.person, form.angle, form.note, form.title, form.subjects, form.when,
                form.upright == "on", form.count, form.who,
            )  # fmt: skip
            number = whole_number(form.id)
            write_want(desk.space, day.match, made, desk.caller, number)
            return words("wants.kept")

        return answered(act)

    @app.post("/match/{folder}/want/strike")
    def strike(folder: str, form: StrikeForm) -> Response:
        def act() -> str:
            day = desk.standing.of(folder)
            if form.key:
                strike_shot(desk.space, day.match, form.key, desk.caller, struck=not form.back)
            else:
                strike_want(desk.space, day.match, whole_number(form.id) or 0)
            return words("wants.back" if form.back else "wants.struck")

        return answered(act)

    @app.post("/match/{folder}/day")
    def keep_day(folder: str, form: DayForm) -> Response:
        def act() -> str:
            day = desk.standing.of(folder)
            changed: dict[str, Any] = {}
            if form.template:
                changed["template"] = form.template
            else:
                lines = [line for line in form.contacts.splitlines() if line.strip()]
                changed = {
                    "travel_min": whole_number(form.travel) or 0,
                    "bodies": whole_number(form.bodies) or 2,
                    "rain": form.rain == "on",
                    "contacts": tuple(read_contact(line) for line in lines),
                }
            change_choices(desk.space, day.match, desk.caller, **changed)
            return words("plan.kept")

        return answered(act)


def _add_pocket(app: FastAPI, desk: WebDesk) -> None:
    def sheet_of(folder: str) -> DaySheet:
        day = desk.standing.of(folder)
        return day_sheet(day, ground_of(desk.space, day.match))

    @app.get("/match/{folder}/plan/sheet")
    def sheet_page(folder: str) -> Response:
        return HTMLResponse(sheet_html(sheet_of(folder), styles=STYLES), headers=NO_STORE)

    @app.get("/match/{folder}/plan.pdf")
    def sheet_paper(folder: str) -> Response:
        made = sheet_pdf(sheet_of(folder))
        return Response(made, media_type="application/pdf", headers=NO_STORE)

    @app.get("/match/{folder}/plan.ics")
    def sheet_calendar(folder: str) -> Response:
        sheet = sheet_of(folder)
        text = calendar(sheet.fixture, sheet.entries, made=desk.now())
        return Response(text, media_type="text/calendar; charset=utf-8", headers=NO_STORE)


def _style(text: str) -> Response:
    return Response(text, media_type="text/css", headers={"cache-control": "no-cache"})
