"""`setpiece log state` and `setpiece minute`: the fold and the clock without a workspace."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import opened_match, print_json, read_text

if TYPE_CHECKING:
    from setpiece.match.answers import LogAnswer
    from setpiece.match.fold import Fold
    from setpiece.match.people import TeamSheet
    from setpiece.match.state import State

HalfMinutes = Annotated[int, typer.Option("--half", help="Regular minutes of a half.")]
ExtraMinutes = Annotated[int, typer.Option("--extra", help="Regular minutes of an extra half.")]


def state(
    log: Annotated[
        Path | None, typer.Option("--log", help="A log as CSV or JSON; else the workspace's.")
    ] = None,
    sheet: Annotated[
        Path | None, typer.Option("--sheet", help="The team sheet as CSV or JSON.")
    ] = None,
    at: Annotated[
        str, typer.Option("--at", help="A minute (45+2) or PERIOD:MM:SS; else the end of the log.")
    ] = "",
    half: HalfMinutes = 45,
    extra: ExtraMinutes = 15,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Say how the match stands, and what looks wrong.

    Score, who is on the pitch, cards.

    A minute means its end, a clock reading the end of that second.

    Example: setpiece log state --log match.csv --sheet sheet.csv --at 45+2 --json
    """
    from setpiece.match.answers import log_answer

    if log is None:
        from setpiece.work.matchday import Matchday

        with opened_match(workspace, match) as (space, of):
            fold = Matchday(space, of).fold
    else:
        fold = _fold_of(log, sheet, half, extra)
    answer = log_answer(fold, _state_at(fold, at))
    if as_json:
        print_json(answer)
    else:
        typer.echo(_words(answer))


def minute(
    period: Annotated[int | None, typer.Option(help="1 to 4; 3 and 4 are extra time.")] = None,
    elapsed: Annotated[str, typer.Option(help="The clock of that period: 27:10.")] = "",
    label: Annotated[str, typer.Option(help="A printed minute: 73 or 45+2.")] = "",
    half: HalfMinutes = 45,
    extra: ExtraMinutes = 15,
    as_json: AsJson = False,
) -> None:
    """Turn a period's clock into the printed minute, or back.

    Example: setpiece minute --period 2 --elapsed 27:10
    """
    from setpiece.errors import WrongUse
    from setpiece.match.answers import minute_answer
    from setpiece.match.clock import label_span_s, minute_label
    from setpiece.match.exchange import read_clock
    from setpiece.match.fixture import Rules
    from setpiece.match.instants import MinuteLabel

    rules = Rules(half_min=half, extra_half_min=extra)
    if bool(label) == bool(elapsed) or (elapsed and period is None):
        raise WrongUse(
            "one of two things is asked",
            next_step="Give --period and --elapsed, or --label.",
        )
    if elapsed:
        found = minute_label(period or 1, read_clock(elapsed), rules)
    else:
        found = MinuteLabel.read(label)
    answer = minute_answer(found, label_span_s(found, rules, period=period))
    if as_json:
        print_json(answer)
    elif elapsed:
        typer.echo(answer.minute)
    else:
        typer.echo(f"period {answer.period}, {answer.clock}")


def _fold_of(log: Path, sheet: Path | None, half: int, extra: int) -> Fold:
    from setpiece.cli.terminal import Terminal
    from setpiece.match.exchange import read_log_csv, read_log_json
    from setpiece.match.fixture import Fixture, Rules
    from setpiece.match.fold import Fold

    text, people, now = read_text(log), _sheet(sheet), Terminal().now()
    if log.suffix.lower() == ".json":
        entries = read_log_json(text)
    else:
        entries = read_log_csv(text, people, typed=now)
    fixture = Fixture(
        id=log.stem,
        home=people.home.name,
        away=people.away.name,
        competition="",
        kick_off=min((e.typed for e in entries), default=now),
        time_zone="UTC",
        rules=Rules(half_min=half, extra_half_min=extra),
    )
    return Fold(fixture, people, entries)


def _sheet(file: Path | None) -> TeamSheet:
    from setpiece.match.exchange import read_sheet_csv, read_sheet_json
    from setpiece.match.people import SidePeople, TeamSheet

    if file is None:
        return TeamSheet(SidePeople("home", "home"), SidePeople("away", "away"))
    text = read_text(file)
    if file.suffix.lower() == ".json":
        return read_sheet_json(text)
    return read_sheet_csv(text)


def _state_at(fold: Fold, at: str) -> State:
    """The end of the log, of a minute, or of a second of a period's clock."""
    from setpiece.match.exchange import read_clock
    from setpiece.match.instants import MinuteLabel

    if not at:
        return fold.last()
    period, colon, clock = at.partition(":")
    if colon and period in ("1", "2", "3", "4", "5") and ":" in clock:
        return fold.state_on_clock(int(period), read_clock(clock) + 1.0)
    return fold.state_at(MinuteLabel.read(at))


def _words(answer: LogAnswer) -> str:
    """The answer in lines to read."""
    head = f"{answer.phase.value}, {answer.minute}'" if answer.minute else answer.phase.value
    lines = [f"{answer.score[0]}–{answer.score[1]}  {head}"]
    if answer.half_time is not None:
        lines.append(f"half-time {answer.half_time[0]}–{answer.half_time[1]}")
    if answer.shoot_out is not None:
        lines.append(f"shoot-out {answer.shoot_out[0]}–{answer.shoot_out[1]}")
    if answer.on_pitch is not None:
        for side, numbers in (("home", answer.on_pitch.home), ("away", answer.on_pitch.away)):
            worn = " ".join("-" if n is None else str(n) for n in numbers)
            lines.append(f"on the pitch, {side}: {worn} ({len(numbers)})")
    for card in answer.cards:
        who = f"{card.number or ''} {card.name}".strip() or "somebody"
        lines.append(f"{card.minute or '?'}' {card.card} {card.side or ''} {who}")
    lines += [f"! {warning}" for warning in answer.warnings]
    return "\n".join(lines)
