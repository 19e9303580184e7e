"""`setpiece plan sheet`: the plan of the day on one page, as HTML, PDF and calendar."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.plan_options import (
    GroundFile,
    Lenses,
    Place,
    Seats,
    Svg,
    Zone,
    place_of,
    print_answer,
    write,
    write_svg,
)

if TYPE_CHECKING:
    from setpiece.match.fixture import Fixture
    from setpiece.plan.sheet import DaySheet


def sheet(
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    date: Annotated[str, typer.Option(help="The date at the ground; else the match's.")] = "",
    kick_off: Annotated[
        str, typer.Option(help="Kick-off on the ground's clock; else the match's, or 15:00.")
    ] = "",
    home: Annotated[str, typer.Option(help="The home side; else the match's.")] = "",
    away: Annotated[str, typer.Option(help="The away side; else the match's.")] = "",
    ground: GroundFile = None,
    out: Annotated[Path | None, typer.Option(help="The page to write.")] = None,
    pdf: Annotated[Path | None, typer.Option(help="The same page as PDF.")] = None,
    ics: Annotated[Path | None, typer.Option(help="The day as a calendar.")] = None,
    competition: Annotated[str, typer.Option(help="Competition and stage.")] = "",
    template: Annotated[str, typer.Option(help="Shot list: league, cup, final, youth.")] = "",
    seat: Seats = None,
    lens: Lenses = None,
    shutter: Annotated[str, typer.Option("--shutter", help="Shutter speed.")] = "",
    fps: Annotated[float | None, typer.Option(help="Frames per second.")] = None,
    travel: Annotated[int | None, typer.Option(help="Minutes to the ground.")] = None,
    contact: Annotated[
        list[str] | None, typer.Option(help="Whom to ring: NAME;ROLE;NUMBER.")
    ] = None,
    zone: Zone = "",
    as_json: AsJson = False,
    svg: Svg = None,
) -> None:
    """Write the plan of the day, one page of A4, and a calendar.

    The page as HTML and PDF.

    In a workspace with a match no option is needed: fixture, ground, lenses, wants and times are
    the match's, and page, PDF and calendar go into its folder `plan` unless they are named.

    Example: setpiece plan sheet --date 2027-03-06 --kick-off 15:30 --home "SK Lethenbruck"
    --away "TSV Marnstein" --seat=-14,-5 --template cup --pdf plan.pdf --ics day.ics
    """
    from dataclasses import replace

    from setpiece.cli import plan_tables
    from setpiece.cli.terminal import Terminal
    from setpiece.plan.answers.sheet import sheet_answer
    from setpiece.plan.day import calendar
    from setpiece.plan.drawings.seat import draw_seat
    from setpiece.plan.sheet_page import sheet_html
    from setpiece.plan.templates import template as template_named
    from setpiece.plan.typed import read_contact, read_shutter
    from setpiece.store.matches import match_folder
    from setpiece.work.before.plan_pdf import sheet_pdf

    place = place_of(ground, workspace, match)
    fixture = _typed(place, date, kick_off, home, away, competition, zone)
    page = _own(place) if fixture is None else _planned(place, fixture, seat)
    page = replace(
        page,
        seats=place.seats(seat) if seat else page.seats,
        lenses=place.lenses(lens) if lens else page.lenses,
        shots=template_named(template) if template else page.shots,
        exposure_s=read_shutter(shutter) if shutter else page.exposure_s,
        frames_per_s=page.frames_per_s if fps is None else fps,
        travel_min=page.travel_min if travel is None else travel,
        contacts=tuple(read_contact(text) for text in contact) if contact else page.contacts,
    )
    if out is None and pdf is None and ics is None:
        out = Path("plan.html")
        if place.day is not None and not home:
            folder = match_folder(place.day.space, place.day.match) / "plan"
            out, pdf, ics = (folder / f"plan.{kind}" for kind in ("html", "pdf", "ics"))
    if out:
        write(sheet_html(page).encode(), out)
    if pdf:
        write(sheet_pdf(page), pdf)
    if ics:
        made = Terminal().now()
        write(calendar(page.fixture, page.entries, made=made).encode(), ics)
    print_answer(sheet_answer(page), plan_tables.sheet, as_json)
    if svg:
        write_svg(draw_seat(page.ground, page.seats, page.sensor, page.lenses), svg)


def _own(place: Place) -> DaySheet:
    """The match's own plan."""
    from setpiece.errors import WrongUse
    from setpiece.work.before.plan import day_sheet

    if place.day is None:
        raise WrongUse(
            "there is no match here to plan",
            next_step="Give --workspace and --match, or --date, --home and --away.",
        )
    return day_sheet(place.day, place.ground)


def _typed(
    place: Place, date: str, kick_off: str, home: str, away: str, competition: str, zone: str
) -> Fixture | None:
    """The fixture that was typed; None where nothing of it was."""
    from setpiece.errors import WrongUse
    from setpiece.match.fixture import Fixture
    from setpiece.plan.typed import read_local, read_zone

    if not (date or home or away or kick_off or competition or zone):
        return None
    if not (date and home and away):
        raise WrongUse(
            "a match that is typed has a date and both sides",
            next_step="Give --date, --home and --away, or none of them for the match's own plan.",
        )
    clock = read_zone(zone or place.ground.time_zone)
    start = read_local(date, kick_off or "15:00", clock)
    name = f"{date} {home} {away}"
    return Fixture(name, home, away, competition, start, clock.key, "", place.ground.name)


def _planned(place: Place, fixture: Fixture, seat: list[str] | None) -> DaySheet:
    """The plan of that fixture as begun: the usual list, the ground's seats."""
    from setpiece.plan.sheet import DaySheet
    from setpiece.plan.templates import template
    from setpiece.work.before.plan import light_of

    ground = place.ground
    light = light_of(ground, fixture)
    return DaySheet(fixture, ground, place.seats(seat), place.lenses(None), template("league"),
                    light=light)  # fmt: skip
