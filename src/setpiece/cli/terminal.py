"""The terminal as the caller of jobs: prompts, a progress bar, Ctrl-C as a clean stop."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

import typer

from setpiece.errors import AskPhotographer

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

    from setpiece.match.instants import Instant
    from setpiece.store.matches import Match
    from setpiece.store.workspace import Workspace
    from setpiece.work.job import Question


MOST_CHARACTERS = 50_000_000
"""No more is read of a text: whoever reads it further refuses far less."""


class Terminal:
    """The photographer at a terminal. The first Ctrl-C stops the job cleanly, a second at once."""

    def __init__(self) -> None:
        self._stop = False
        self._bar: Progress | None = None
        self._task: TaskID | None = None
        self._what = ""

    def now(self) -> Instant:
        """The laptop's clock, in UTC."""
        from setpiece.match.instants import instant

        return instant(datetime.now(UTC))

    def ask(self, question: Question) -> str:
        """Asks at the prompt; raises AskPhotographer when nobody sits there."""
        if not sys.stdin.isatty():
            raise AskPhotographer(
                question.text, next_step="Nobody is at the prompt: answer it by an option."
            )
        for number, choice in enumerate(question.choices, 1):
            typer.echo(f"  {number}  {choice}")
        answer: str = typer.prompt(question.text, hide_input=question.secret)
        if question.choices and answer.isdigit() and 1 <= int(answer) <= len(question.choices):
            return question.choices[int(answer) - 1]
        return answer

    def progress(self, done: int, total: int, what: str) -> None:
        """Moves the bar; a new `what` begins a new bar. Shows nothing off a terminal."""
        if self._bar is None:
            return
        if self._task is None or what != self._what:
            self._task = self._bar.add_task(what, total=total or None)
            self._what = what
        self._bar.update(self._task, completed=done, total=total or None)

    def stopped(self) -> bool:
        """Whether Ctrl-C was pressed."""
        return self._stop

    def _interrupt(self, _signal: int, _frame: FrameType | None) -> None:
        if self._stop:
            raise KeyboardInterrupt
        self._stop = True

    @contextmanager
    def working(self) -> Iterator[Terminal]:
        """Shows progress and catches Ctrl-C while a job runs."""
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
        from rich.progress import TimeRemainingColumn as Remaining

        before = signal.signal(signal.SIGINT, self._interrupt)
        console = Console(stderr=True)
        try:
            if not console.is_terminal:
                yield self
                return
            with Progress(
                TextColumn("{task.description}"),
                BarColumn(),
                MofNCompleteColumn(),
                Remaining(),
                console=console,
            ) as self._bar:
                yield self
        finally:
            self._bar, self._task = None, None
            signal.signal(signal.SIGINT, before)


def print_json(value: object) -> None:
    """Prints a value as JSON; its schema stands in docs/schemas."""
    from setpiece.store.forms import adapter

    typer.echo(adapter(type(value)).dump_json(value, indent=2).decode())


@contextmanager
def opened(folder: Path) -> Iterator[Workspace]:
    """The workspace in `folder`, closed again afterwards."""
    from setpiece.store.workspace import Workspace

    space = Workspace.open(folder)
    try:
        yield space
    finally:
        space.close()


@contextmanager
def opened_match(folder: Path, name: str | None) -> Iterator[tuple[Workspace, Match]]:
    """The workspace and the match meant by `name`."""
    from setpiece.store.matches import find_match

    with opened(folder) as space:
        yield space, find_match(space, name)


def read_text(path: Path) -> str:
    """The text of a file, or of standard input for `-`. Raises WrongUse with a next step."""
    from setpiece.errors import NotFound, WrongUse

    try:
        if str(path) == "-":
            return sys.stdin.read(MOST_CHARACTERS)
        with path.open(encoding="utf-8-sig") as stream:
            return stream.read(MOST_CHARACTERS)
    except FileNotFoundError as error:
        raise NotFound(
            "there is no such file", thing=str(path), next_step="Check the path."
        ) from error
    except (OSError, UnicodeDecodeError) as error:
        raise WrongUse(
            f"it cannot be read as text ({error})",
            thing=str(path),
            next_step="Save it as UTF-8 text.",
        ) from error


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun: `1 entry`, `2 entries`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def write_either(path: Path, csv: Callable[[], str], json: Callable[[], str]) -> None:
    """Writes a file in the form that its ending says, JSON where it says none."""
    from setpiece.store.copying import write_proved

    text = csv() if path.suffix.lower() == ".csv" else json()
    write_proved(text.encode(), path)


def guarded(command: Callable[[], None]) -> int:
    """Runs the commands; every foreseen error ends in one sentence and its exit status.

    0 done, 1 done with findings, 2 wrong use, 3 could not (or stopped; the next run goes on).
    """
    from setpiece.errors import Refused, SetpieceError

    try:
        command()
    except SystemExit as exit_:
        return exit_.code if isinstance(exit_.code, int) else int(bool(exit_.code))
    except KeyboardInterrupt:
        typer.echo("\nStopped. What was finished is kept; run it again to go on.", err=True)
        return 3
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except SetpieceError as error:
        typer.echo(str(error), err=True)
        wrong_use = isinstance(error, AskPhotographer) and not isinstance(error, Refused)
        return 2 if wrong_use else 3
    return 0
