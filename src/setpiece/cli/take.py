"""`setpiece take`: frames off cards and folders."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.laptop import watch_clock
from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, print_json

if TYPE_CHECKING:
    from setpiece.match.instants import Instant
    from setpiece.store.matches import Match
    from setpiece.store.workspace import Workspace
    from setpiece.work.intake.cards import Trouble
    from setpiece.work.intake.take import TakeReport


class Only(StrEnum):
    """What `--only` may name."""

    PROTECTED = "protected"


def take(
    sources: Annotated[list[Path], typer.Argument(help="Cards or folders.")],
    only: Annotated[
        Only | None, typer.Option(help="Only frames that you protected in the camera.")
    ] = None,
    since: Annotated[
        str, typer.Option(help="Only frames from then on: 15:47 at the ground, or with date.")
    ] = "",
    goal: Annotated[bool, typer.Option("--goal", help="Only frames near the newest goal.")] = False,
    prove: Annotated[
        bool, typer.Option("--prove", help="Read everything again, also what is known.")
    ] = False,
    watch: Annotated[
        bool, typer.Option("--watch", help="Go on with whatever comes into these folders.")
    ] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Take frames in: each file copied, proved, and never changed.

    Protected frames come first, then those near the newest goal, then the newest. Works before
    any fixture is made. A second run copies nothing twice; after a stop or a pulled card the
    next run goes on. It says when a card may be wiped.

    Example: setpiece take /media/card-a /media/card-b --only protected
    """
    from setpiece.work.intake.take import take_in
    from setpiece.work.intake.urgency import Wanted

    with opened(workspace) as space, Terminal().working() as caller:
        watch_clock(space)
        if watch:
            from setpiece.work.intake.watching import take_in_as_it_comes

            typer.echo("Watching. Ctrl-C ends it; what came is kept.")
            take_in_as_it_comes(
                space, lambda: target_of(space, match), sources, caller, say, rests=_resting()
            )
            return
        target = target_of(space, match)
        wanted = Wanted(only is Only.PROTECTED, _instant(space, target, since), goal)
        report = take_in(space, target, sources, caller, wanted=wanted, prove=prove)
    if as_json:
        print_json(report)
    else:
        say(report)
    raise typer.Exit(1 if report.damaged or report.troubles else 0)


def _resting() -> Callable[[], bool]:
    """Whether the battery is too low to take in by itself; says so once each time."""
    from setpiece.work.battery import Battery

    battery, said = Battery(), False

    def rests() -> bool:
        nonlocal said
        if battery.is_low and not said:
            typer.echo("The battery is low: what comes waits until the laptop is on the mains.")
        said = battery.is_low
        return said

    return rests


def receive(
    port: Annotated[int, typer.Option(help="The port to listen at.")] = 2121,
    address: Annotated[
        str, typer.Option(help="Listen at this address of the computer only.")
    ] = "0.0.0.0",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Receive frames that cameras send over the network.

    By FTP; they are taken in as they arrive.

    Off unless you start it. Cameras may only write; what is no picture goes to quarantine.

    Example: setpiece receive --port 2121
    """
    from setpiece.work.intake.arriving import take_in_what_arrives
    from setpiece.work.intake.receiving import USER, intake, own_address, receiving

    with opened(workspace) as space, Terminal().working() as caller:
        watch_clock(space)
        password, kept = _password()
        with receiving(intake(space), password, address=address, port=port) as receiver:
            shown = own_address() if address == "0.0.0.0" else address
            typer.echo("Set this in the camera as its FTP server, passive mode:")
            typer.echo(f"  address {shown}  port {receiver.port}")
            typer.echo(f"  user {USER}  password {password}{'' if kept else '  (this time only)'}")
            typer.echo("Receiving. Ctrl-C ends it; what came is kept.")
            take_in_what_arrives(
                space, lambda: target_of(space, match), receiver, caller, say, _complain
            )


def _complain(trouble: Trouble) -> None:
    typer.echo(f"{trouble.path}: {trouble.what}", err=True)


def target_of(space: Workspace, name: str | None) -> Match | None:
    """The match that frames go into: the one named, or the only one with a fixture."""
    from setpiece.store.matches import find_match, matches

    known = [m for m in matches(space) if m.fixture]
    return find_match(space, name) if name or len(known) == 1 else None


def _password() -> tuple[str, bool]:
    """The cameras' password and whether it is kept: it is made once and kept in the keyring."""
    from setpiece.errors import NotFound
    from setpiece.send.passwords import find_password, keep_password
    from setpiece.work.intake.receiving import KEPT_AS, new_password

    try:
        return find_password(KEPT_AS), True
    except NotFound:
        password = new_password()
        return password, keep_password(KEPT_AS, password)


def say(report: TakeReport) -> None:
    """Prints a run: troubles, one line of figures, doubts, then whether cards may be wiped."""
    for trouble in (*report.troubles, *report.damaged):
        _complain(trouble)
    unread = f" ({report.unread} not read again)" if report.unread else ""
    typer.echo(
        f"{report.match}: {report.frames} frames. Files copied and proved: {report.copied}, "
        f"known before: {report.known}{unread}, damaged: {len(report.damaged)}, "
        f"with trouble: {len(report.troubles)}, no pictures: {len(report.left)}. "
        f"{report.seconds:.1f} s"
    )
    for doubt in report.doubts:
        typer.echo(f"Is that right? {doubt.path}: {doubt.what}")
    if report.waiting:
        typer.echo(f"Still on the card: {report.waiting}. Take in again for the rest.")
    for copies in report.copies:
        missing = f", {copies.missing} missing" if copies.missing else ""
        why = f": {copies.why}" if copies.why else ""
        typer.echo(f"{copies.folder}: {copies.copied} further copies made{missing}{why}")
    for card in report.cards:
        typer.echo(card.words)


def _instant(space: Workspace, of: Match | None, text: str) -> Instant | None:
    """What `--since` means, None when it was not given."""
    from setpiece.match.instants import read_instant
    from setpiece.work.matchday import Matchday

    if not text:
        return None
    return Matchday(space, of).read_time(text) if of else read_instant(text)
