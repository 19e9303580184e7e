"""`setpiece desk`: who receives, how, and in which house style."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, opened_match, print_json

if TYPE_CHECKING:
    from setpiece.work.desk.desks import DeskSettings

app = typer.Typer(help="Picture desks: who receives, how, and in which house style.")


@app.command("add")
def add(
    name: Annotated[str, typer.Argument(help="What you call the desk.")],
    protocol: Annotated[str, typer.Option(help="ftp, ftps, ftps-implicit, sftp or folder.")],
    style: Annotated[str, typer.Option(help="Its house style.")],
    host: Annotated[str, typer.Option(help="The server's name.")] = "",
    port: Annotated[int | None, typer.Option(help="If not the usual one.")] = None,
    user: Annotated[str, typer.Option(help="The user to log in as.")] = "",
    folder: Annotated[
        str, typer.Option(help="The folder at the desk; may hold {{ date }} and the like.")
    ] = "",
    path: Annotated[
        Path | None, typer.Option(help="The receiving folder of a folder desk.")
    ] = None,
    fingerprint: Annotated[str, typer.Option(help="Pins the server's key or certificate.")] = "",
    key_file: Annotated[
        Path | None, typer.Option(help="The private key an SFTP desk knows you by.")
    ] = None,
    rename: Annotated[bool, typer.Option(help="Send under a temporary name, then rename.")] = True,
    connections: Annotated[int, typer.Option(help="How many may be open at once.")] = 1,
    extended_passive: Annotated[
        bool, typer.Option(help="Ask EPSV first; off for firewalls that know only PASV.")
    ] = True,
    timeout: Annotated[float, typer.Option(help="Seconds a silent link is waited for.")] = 30.0,
    keep_alive: Annotated[int, typer.Option(help="Seconds between signs of life; 0: none.")] = 60,
    workspace: WorkspaceDir = HERE,
) -> None:
    """Add a desk, or change how one is reached. Its password goes to the keyring, never in here.

    Example: setpiece desk add City --protocol sftp --host in.city.example --user me --style north
    """
    from setpiece.errors import WrongUse
    from setpiece.send.desk import DeskAddress, Protocol
    from setpiece.work.desk.desks import Desk, DeskSettings, add_desk, known_desks

    try:
        kind = Protocol(protocol.lower())
    except ValueError as error:
        raise WrongUse(
            "no such protocol", thing=protocol, next_step=f"One of: {', '.join(Protocol)}."
        ) from error
    address = DeskAddress(
        kind,
        host=host,
        port=port,
        user=user,
        folder=folder,
        path=path.resolve() if path else None,
        temporary_name=rename,
        connections=connections,
        extended_passive=extended_passive,
        timeout_s=timeout,
        keep_alive_s=keep_alive,
        fingerprint=fingerprint,
        key_file=key_file.resolve() if key_file else None,
    )
    with opened(workspace) as space:
        kept = next((d.settings for d in known_desks(space) if d.name == name), DeskSettings())
        add_desk(space, Desk(name, address, style, kept), Terminal())
    typer.echo(f"Desk {name}: {address.spelled()}. Next: setpiece desk test {name}")


@app.command("password")
def password(name: Annotated[str, typer.Argument(help="The desk.")]) -> None:
    """Keep a desk's password in the system's keyring.

    Example: setpiece desk password City
    """
    from setpiece.send.passwords import keep_password, variable
    from setpiece.work.job import Question

    word = Terminal().ask(Question(f"Password for desk {name}", secret=True))
    if not keep_password(name, word):
        typer.echo(f"This computer has no safe keyring: set {variable(name)} instead.", err=True)
        raise typer.Exit(3)
    typer.echo("Kept in the system's keyring.")


@app.command("pin")
def pin(
    name: Annotated[str, typer.Argument(help="The desk.")],
    fingerprint: Annotated[str, typer.Argument(help="As the desk told you it is.")],
    workspace: WorkspaceDir = HERE,
) -> None:
    """Hold a desk to its server's key or certificate.

    Do it once the desk has told you that it is theirs.

    Example: setpiece desk pin City SHA256:2Z1Gc7kR0vX5mYt8nQeWbUoJ4hLs9aDfPi3xTyKuCw6
    """
    from setpiece.work.desk.desks import pin_desk

    with opened(workspace) as space:
        desk = pin_desk(space, name, fingerprint, Terminal())
    typer.echo(f"{desk.name} is held to {desk.address.fingerprint}.")


@app.command("list")
def list_(workspace: WorkspaceDir = HERE, as_json: AsJson = False) -> None:
    """List the desks.

    Example: setpiece desk list
    """
    from setpiece.work.desk.desks import all_desks

    with opened(workspace) as space:
        known = all_desks(space)
    if as_json:
        print_json(known)
        return
    for desk in known:
        typer.echo(f"{desk.name:16} {desk.style:12} {desk.address.spelled()}")


@app.command("test")
def rehearse(
    name: Annotated[str, typer.Argument(help="The desk.")],
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Walk through a delivery with a small file.

    Connect, log in, write, size, rename, delete.

    Example: setpiece desk test City
    """
    from setpiece.work.desk.desks import rehearse_desk

    with opened(workspace) as space:
        steps = rehearse_desk(space, name, Terminal())
    if as_json:
        print_json(steps)
    else:
        for step in steps:
            typer.echo(f"{step.name:8} {step.outcome:9} {step.sentence}")
            if step.fingerprint:
                typer.echo(f"If it is theirs: setpiece desk pin {name} {step.fingerprint}")
    raise typer.Exit(3 if any(s.outcome == "failed" for s in steps) else 0)


@app.command("set")
def set_(
    name: Annotated[str, typer.Argument(help="The desk.")],
    embargo: Annotated[
        str | None, typer.Option(help="Nothing before: 21:00:00 at the ground, ISO, or none.")
    ] = None,
    under_review: Annotated[
        str | None, typer.Option(help="A goal under review is held, or goes without-score.")
    ] = None,
    smaller_below: Annotated[
        int | None, typer.Option(help="Below so many kbit/s renditions are smaller; 0 for never.")
    ] = None,
    smaller_to: Annotated[int | None, typer.Option(help="Their long side in pixels.")] = None,
    edition: Annotated[
        list[str] | None, typer.Option(help="Time of day at which a page closes: 17:30, or none.")
    ] = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Say how a desk is served. What is not given stays as it is.

    Example: setpiece desk set City --under-review without-score --edition 17:30
    """
    from setpiece.errors import WrongUse
    from setpiece.work.desk.desks import UnderReview, change_settings, desk_named
    from setpiece.work.matchday import Matchday

    changed: dict[str, object] = {}
    with opened_match(workspace, match) as (space, of):
        if embargo is not None:
            day = Matchday(space, of)
            changed["embargo_until"] = None if embargo == "none" else day.read_time(embargo)
        if under_review is not None:
            try:
                changed["under_review"] = UnderReview(under_review)
            except ValueError as error:
                raise WrongUse(
                    "a goal under review is held, or sent without its score",
                    thing=under_review,
                    next_step="One of: held, without-score.",
                ) from error
        if smaller_below is not None:
            changed["smaller_below_kbit_s"] = smaller_below
        if smaller_to is not None:
            changed["smaller_long_side_px"] = smaller_to
        if edition is not None:
            changed["editions"] = tuple(e for e in edition if e != "none")
        if changed:
            made = change_settings(space, name, Terminal(), **changed)
        else:
            made = desk_named(space, name)
    if as_json:
        print_json(made)
    else:
        typer.echo(f"{made.name}: {_served(made.settings)}")


def _served(settings: DeskSettings) -> str:
    """How a desk is served, in words."""
    until, below = settings.embargo_until, settings.smaller_below_kbit_s
    parts = [
        f"nothing before {until:%Y-%m-%d %H:%M} UTC" if until else "no embargo",
        f"a goal under review is {settings.under_review.value}",
        f"{settings.smaller_long_side_px} px below {below} kbit/s" if below else "never smaller",
        f"pages close at {', '.join(settings.editions)}" if settings.editions else "no page times",
    ]
    return "; ".join([*parts, *(["paused"] if settings.paused else [])]) + "."


@app.command("pause")
def pause(
    name: Annotated[str, typer.Argument(help="The desk.")], workspace: WorkspaceDir = HERE
) -> None:
    """Send nothing more to a desk until it is resumed.

    What is under way is set aside.

    Example: setpiece desk pause City
    """
    _paused(name, workspace, paused=True)


@app.command("resume")
def resume(
    name: Annotated[str, typer.Argument(help="The desk.")], workspace: WorkspaceDir = HERE
) -> None:
    """Let a paused desk receive again.

    Example: setpiece desk resume City
    """
    _paused(name, workspace, paused=False)


def _paused(name: str, workspace: Path, *, paused: bool) -> None:
    from setpiece.work.desk.desks import change_settings

    with opened(workspace) as space:
        desk = change_settings(space, name, Terminal(), paused=paused)
    typer.echo(f"{desk.name} is {'paused' if paused else 'receiving'}.")
