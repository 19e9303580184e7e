"""Taking in, in a process of its own: what comes of it, a stop, and a server that is gone."""

from __future__ import annotations

import multiprocessing
import threading
from datetime import timedelta
from pathlib import Path

import pytest
import small_match

from setpiece.errors import SetpieceError
from setpiece.match.instants import Instant, instant
from setpiece.store.frames import frames_of
from setpiece.store.workspace import Workspace
from setpiece.web import apart, backstage
from setpiece.web.apart import take_apart
from setpiece.web.wire import Wire
from setpiece.web.wording import wording
from setpiece.work.battery import Battery
from setpiece.work.job import Unattended

LONG_S = 60.0
"""So long a slow machine may take to come to a step."""


class Told(Unattended):
    """A caller that keeps what it was told, and may have stopped from the start."""

    def __init__(self, at: Instant, *, stops: bool = False) -> None:
        super().__init__(at)
        self.said: list[str] = []
        self.stops = stops

    def progress(self, done: int, total: int, what: str) -> None:
        self.said.append(what)

    def stopped(self) -> bool:
        return self.stops


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A card with two pictures and one that is none."""
    place = tmp_path / "card" / "DCIM" / "100NORDL"
    place.mkdir(parents=True)
    for number in range(2):
        shot = small_match.Shot(instant(small_match.at(1, 5) + timedelta(seconds=number)))
        data = small_match.jpeg(small_match.drawn(shot, 640, number))
        (place / f"NOR_{number:04d}.JPG").write_bytes(data)
    (place / "NOR_0002.JPG").write_bytes(b"\xff\xd8\xff\xe0 torn")
    return place.parent.parent


def test_what_was_taken_in_apart_is_in_the_workspace(own, card: Path) -> None:
    """Files copied, frames damaged and progress come back; the frames are there for everybody."""
    before = len(frames_of(Workspace.open(own.folder), own.match))
    caller = Told(small_match.LATER)
    taken = take_apart(own.folder, own.match, (card,), caller)
    assert (taken.copied, taken.known) == (3, 0)
    assert taken.damaged >= 1
    assert "Taking in" in caller.said
    assert len(frames_of(Workspace.open(own.folder), own.match)) == before + 3


def test_an_error_apart_comes_back_in_its_words(own, tmp_path: Path) -> None:
    """What went wrong in the process is told as if it were here: what, which thing, what next."""
    with pytest.raises(SetpieceError, match="no such card or folder") as found:
        take_apart(own.folder, own.match, (tmp_path / "gone",), Told(small_match.LATER))
    assert "gone" in found.value.thing
    assert found.value.next_step


def test_a_stop_reaches_the_process(own, card: Path) -> None:
    """A caller who has stopped stops the process at its next step, or it was done before."""
    said = ""
    try:
        take_apart(own.folder, own.match, (card,), Told(small_match.LATER, stops=True))
    except SetpieceError as error:
        said = error.what
    assert said in ("stopped as you asked", "")


def test_a_process_whose_server_is_gone_stops_and_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """When the pipe closes the job is asked to stop, and a job that hangs is ended."""
    ended = threading.Event()
    monkeypatch.setattr(apart, "LEFT_ALONE_S", 0.0)
    monkeypatch.setattr(apart.os, "_exit", lambda _code: ended.set())
    ours, theirs = multiprocessing.Pipe()
    behind = apart._Behind(theirs, small_match.LATER)
    assert not behind.stopped()
    ours.close()
    assert ended.wait(LONG_S)
    assert behind.stopped()


def test_a_process_whose_server_is_gone_says_nothing(
    own, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """What came of it cannot be told to a server that is gone: that is no error."""
    monkeypatch.setattr(apart, "_be_nice", lambda: None)
    monkeypatch.setattr(apart.signal, "signal", lambda *_: None)
    monkeypatch.setattr(apart, "_Behind", lambda _server, began: Told(began))
    ours, theirs = multiprocessing.Pipe()
    ours.close()
    apart._work(theirs, own.folder, own.match.id, (tmp_path / "gone",), small_match.LATER)
    assert caplog.records == []


def test_a_slip_in_the_program_ends_a_job_in_a_plain_line(
    own, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error that nobody foresaw is told to the page in words, and the job is over."""

    def slip(*_: object) -> None:
        raise ZeroDivisionError("a slip")

    told: list[str] = []
    ended = threading.Event()
    space = Workspace.open(own.folder)
    wire = Wire(space)
    monkeypatch.setattr(backstage, "take_apart", slip)
    monkeypatch.setattr(wire, "said", lambda _match, _kind, text, _tone: told.append(text))
    behind = backstage.Backstage(space, wire, lambda: small_match.LATER, wording(), Battery())
    behind.on_end = ended.set
    behind.take(own.match, ())
    assert ended.wait(LONG_S)
    assert told == [
        "the program met something it does not know (ZeroDivisionError). What was finished is "
        "kept; start it again."
    ]
