"""`setpiece fixture`: the match to be covered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, opened_match, print_json

if TYPE_CHECKING:
    from setpiece.match.instants import Instant

app = typer.Typer(help="The match to be covered: sides, competition, ground, kick-off.")


@app.command("new")
def new(
    home: Annotated[str, typer.Option(help="The home side's name.")],
    away: Annotated[str, typer.Option(help="The away side's name.")],
    kick_off: Annotated[str, typer.Option(help="Planned, local: 2027-03-06T15:30.")],
    zone: Annotated[str, typer.Option(help="The ground's time zone, as Europe/Vienna.")],
    competition: Annotated[str, typer.Option(help="As captions print it.")],
    stage: Annotated[str, typer.Option(help="Round, group, leg.")] = "",
    venue: Annotated[str, typer.Option(help="The ground.")] = "",
    city: Annotated[str, typer.Option(help="City or town.")] = "",
    state: Annotated[str, typer.Option(help="State or province.")] = "",
    country: Annotated[str, typer.Option(help="Country.")] = "",
    country_code: Annotated[str, typer.Option(help="Three letters, ISO 3166-1 alpha-3.")] = "",
    workspace: WorkspaceDir = HERE,
) -> None:
    """Make a fixture and its folder.

    Example: setpiece fixture new --home "SK Lethenbruck" --away "TSV Marnstein"
    --kick-off 2027-03-06T15:30 --zone Europe/Vienna --competition "Women's Lantern Cup"
    --city Lethenbruck --country Austria
    """
    from setpiece.match.fixture import Fixture
    from setpiece.store.matches import add_fixture

    fixture = Fixture(
        id="",
        home=home,
        away=away,
        competition=competition,
        kick_off=_instant(kick_off, zone),
        time_zone=zone,
        stage=stage,
        venue=venue,
        city=city,
        state=state,
        country=country,
        country_code=country_code.upper(),
    )
    with opened(workspace) as space:
        made = add_fixture(space, fixture, Terminal().now())
    missing = [name for name, said in (("city", city), ("country", country)) if not said]
    if missing:
        options = " ".join(f"--{name} ..." for name in missing)
        typer.echo(f"Captions want its {' and '.join(missing)}: setpiece fixture set {options}")
    typer.echo(f"Fixture made: {made.folder}. Next: setpiece sheet import")


@app.command("set")
def set_(
    home: Annotated[str | None, typer.Option(help="The home side's name.")] = None,
    away: Annotated[str | None, typer.Option(help="The away side's name.")] = None,
    kick_off: Annotated[str | None, typer.Option(help="Planned, local: 2027-03-06T15:30.")] = None,
    zone: Annotated[str | None, typer.Option(help="The ground's time zone.")] = None,
    competition: Annotated[str | None, typer.Option(help="As captions print it.")] = None,
    stage: Annotated[str | None, typer.Option(help="Round, group, leg.")] = None,
    venue: Annotated[str | None, typer.Option(help="The ground.")] = None,
    city: Annotated[str | None, typer.Option(help="City or town.")] = None,
    state: Annotated[str | None, typer.Option(help="State or province.")] = None,
    country: Annotated[str | None, typer.Option(help="Country.")] = None,
    country_code: Annotated[str | None, typer.Option(help="Three letters, ISO 3166-1.")] = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Correct a fixture. What is not given stays, and so does its folder.

    Example: setpiece fixture set --city Lethenbruck --country Austria
    """
    from dataclasses import replace
    from zoneinfo import ZoneInfo

    from setpiece.store.matches import save_fixture
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        known = Matchday(space, of).fixture
        place = zone or known.time_zone
        local = known.kick_off.astimezone(ZoneInfo(known.time_zone)).replace(tzinfo=None)
        given: dict[str, Any] = {
            "home": home,
            "away": away,
            "competition": competition,
            "stage": stage,
            "venue": venue,
            "city": city,
            "state": state,
            "country": country,
            "country_code": country_code.upper() if country_code is not None else None,
        }
        changed = {name: said for name, said in given.items() if said is not None}
        at = _instant(kick_off or local.isoformat(), place)
        save_fixture(space, of, replace(known, kick_off=at, time_zone=place, **changed))
    show(workspace, match)


def _instant(kick_off: str, zone: str) -> Instant:
    """The kick-off as typed on the ground's clock. Raises WrongUse."""
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from setpiece.errors import WrongUse
    from setpiece.match.instants import instant

    try:
        return instant(datetime.fromisoformat(kick_off).replace(tzinfo=ZoneInfo(zone)))
    except (ValueError, KeyError, OSError) as error:
        raise WrongUse(
            f"kick-off or zone is not understood ({error})",
            thing=f"{kick_off} {zone}",
            next_step="Write 2027-03-06T15:30 and a zone like Europe/Vienna.",
        ) from error


@app.command("show")
def show(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """Show a fixture, or every match there is.

    Example: setpiece fixture show --match lethenbruck
    """
    from zoneinfo import ZoneInfo

    from setpiece.store.matches import matches

    with opened(workspace) as space:
        known = matches(space)
    if match is None and len(known) > 1:
        if as_json:
            print_json(known)
            return
        for m in known:
            typer.echo(m.folder if m.fixture else f"{m.folder} (frames without a fixture)")
        return
    with opened_match(workspace, match) as (_, found):
        if as_json:
            print_json(found)
            return
    f = found.fixture
    if f is None:
        typer.echo(f"{found.folder}: frames without a fixture. Next: setpiece fixture new")
        return
    local = f.kick_off.astimezone(ZoneInfo(f.time_zone))
    typer.echo(f"{f.home} – {f.away}")
    typer.echo(", ".join(x for x in (f.competition, f.stage) if x))
    typer.echo(", ".join(x for x in (f.venue, f.city, f.state, f.country) if x))
    typer.echo(f"Kick-off {local:%A, %d %B %Y, %H:%M %Z}")
    typer.echo(f"Folder {found.folder}")
