"""Sending from the page: what is taken back, what goes by itself, what a stopped server leaves."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
import small_match
from served import Page, serve
from test_in_a_browser import Tab

from setpiece.match.instants import instant
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.store.delivery import Delivery, State, Urgency
from setpiece.store.news import Topic
from setpiece.store.outbox import deliveries
from setpiece.store.workspace import Workspace
from setpiece.web import backstage
from setpiece.web.backstage import Ended
from setpiece.web.steward import TRY_AGAIN, is_due
from setpiece.work.battery import Power
from setpiece.work.desk.desks import Desk, DeskSettings, add_desk
from setpiece.work.desk.queueing import queue_set
from setpiece.work.job import Unattended

LATER = small_match.LATER
CAPTIONED, ALSO = 12, 20
"""Frames of the small match that have a caption."""


@pytest.fixture
def local(own: small_match.Made, tmp_path: Path) -> Path:
    """The folder of a desk called local, on this computer."""
    folder = tmp_path / "local"
    folder.mkdir()
    set_desk(own, folder)
    return folder


def set_desk(made: small_match.Made, folder: Path, **settings: object) -> None:
    """The desk as it is from now on."""
    space = Workspace.open(made.folder)
    address = DeskAddress(Protocol.FOLDER, path=folder)
    add_desk(space, Desk("local", address, "north", DeskSettings(**settings)), Unattended(LATER))
    space.close()


serving = contextmanager(serve)


@pytest.fixture
def page_of_local(local: Path, own: small_match.Made) -> Iterator[Page]:
    """The page over a match with that desk."""
    yield from serve(own)


def outbox(made: small_match.Made) -> list[Delivery]:
    """What was queued for the desk called local."""
    space = Workspace.open(made.folder)
    found = [d for d in deliveries(space, made.match) if d.desk == "local"]
    space.close()
    return found


def until(made: small_match.Made, *states: State) -> list[Delivery]:
    """Waits until the deliveries stand so, in the order they were queued."""
    for _ in range(600):
        found = outbox(made)
        if tuple(d.state for d in found) == states:
            return found
        time.sleep(0.1)
    pytest.fail(f"never {states}: {[(d.state, d.words, d.note) for d in outbox(made)]}")


def typed(page: Page, line: str, frame: int = CAPTIONED) -> dict:
    """Types a line at a frame; it must be taken."""
    sent = {"line": line, "frame": page.made.frames[frame]}
    answer = page.post(f"{page.match}/line", sent)
    assert answer.status == 200, answer.text
    return answer.value


def taken_back(page: Page, undo: dict) -> dict:
    """Takes an act back."""
    answer = page.post(f"{page.match}/undo", undo)
    assert answer.status == 200, answer.text
    return answer.value


def test_what_has_not_gone_is_taken_back(
    own: small_match.Made, local: Path, page_of_local: Page
) -> None:
    """Undo of a send to a desk that is paused withdraws all of it; nothing ever arrives."""
    set_desk(own, local, paused=True)
    undo = typed(page_of_local, "send here to local")["undo"]
    until(own, State.QUEUED)
    back = taken_back(page_of_local, undo)
    assert back["said"] == "1 delivery taken back."
    assert (back["doubt"], back["offer"]) == ("", "")
    until(own, State.WITHDRAWN)
    assert list(local.rglob("*.jpg")) == []


def test_a_send_after_its_undo_is_taken_back_too(
    own: small_match.Made, local: Path, page_of_local: Page
) -> None:
    """What was withdrawn and queued again is withdrawn again by its own undo."""
    set_desk(own, local, paused=True)
    for _ in range(2):
        undo = typed(page_of_local, "send here to local")["undo"]
        until(own, State.QUEUED)
        assert taken_back(page_of_local, undo)["said"] == "1 delivery taken back."
        until(own, State.WITHDRAWN)


def test_undo_of_what_arrived_offers_a_kill(
    own: small_match.Made, local: Path, page_of_local: Page
) -> None:
    """What the desk has stays there; undo opens the frame and begins the line that kills it."""
    undo = typed(page_of_local, "send here to local")["undo"]
    until(own, State.DELIVERED)
    back = taken_back(page_of_local, undo)
    assert "local already" in back["doubt"]
    assert back["frames"] == [own.frames[CAPTIONED]]
    assert back["offer"] == "kill "
    done = typed(page_of_local, back["offer"] + "the wrong player")
    assert "and local" in done["said"]
    until(own, State.DELIVERED, State.DELIVERED)


def test_a_send_from_before_the_start_is_not_taken_back_by_the_page(
    own: small_match.Made, page_of_local: Page
) -> None:
    """The page names the outbox where it does not know a send any more."""
    answer = page_of_local.post(
        f"{page_of_local.match}/undo", {"act": "queue", "what": "x", "batch": "gone"}
    )
    assert answer.status == 404
    assert "before the server started" in answer.value["wrong"]["text"]


def test_what_waits_goes_by_itself(own: small_match.Made, local: Path, page_of_local: Page) -> None:
    """A held frame waits in plain words; as soon as it is in use it goes, nobody sends again."""
    typed(page_of_local, "hold")
    typed(page_of_local, "send here to local")
    until(own, State.WAITING)
    shown = page_of_local.ask(f"{page_of_local.match}/desk").text
    assert "waits: the frame is held" in shown
    assert "Goes by itself when the frame is in use." in shown
    assert "The desk said: The frame is held" not in shown
    typed(page_of_local, "use")
    until(own, State.DELIVERED)
    assert len(list(local.rglob("*.jpg"))) == 1


def test_a_decision_after_the_last_look_of_a_run_is_not_lost(
    own: small_match.Made, local: Path, page_of_local: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A frame that is used just as a run of sending ends goes by itself all the same."""
    real, used = backstage.send_waiting, []

    def used_late(*given: object, **named: object) -> object:
        report = real(*given, **named)  # type: ignore[arg-type]
        if not used:
            used.append(typed(page_of_local, "use"))
        return report

    monkeypatch.setattr(backstage, "send_waiting", used_late)
    typed(page_of_local, "hold")
    typed(page_of_local, "send here to local")
    until(own, State.DELIVERED)
    assert len(list(local.rglob("*.jpg"))) == 1


def test_a_desk_that_goes_on_gets_what_waited(
    own: small_match.Made, local: Path, page_of_local: Page
) -> None:
    """When a paused desk is let go on by its form, what was queued goes by itself."""
    set_desk(own, local, paused=True)
    typed(page_of_local, "send here to local")
    until(own, State.QUEUED)
    form = {"name": "local", "protocol": "folder", "style": "north", "path": str(local)}
    assert page_of_local.post("/desks", form).status == 200
    until(own, State.DELIVERED)


def test_the_outbox_goes_on_after_a_stop_and_a_start(own: small_match.Made, local: Path) -> None:
    """What was queued when the server stopped goes by itself when it is started again."""
    set_desk(own, local, paused=True)
    with serving(own) as page:
        typed(page, "send here to local")
        typed(page, "use", ALSO)
        until(own, State.QUEUED)
    set_desk(own, local)
    assert [d.state for d in outbox(own)] == [State.QUEUED]
    with serving(own):
        until(own, State.DELIVERED)
    assert len(list(local.rglob("*.jpg"))) == 1


ROW = Delivery(
    1, 1, "f", 1, "local", "x", "x", "p", "/", "n.jpg", 1, State.QUEUED, LATER.isoformat()
)
ENDED = Ended(LATER, 10)
SOON = instant(LATER + timedelta(seconds=30))

Asked = Callable[..., bool]


@pytest.fixture
def due() -> Asked:
    """Whether a run is due half a minute after the last one, after news of these topics."""

    def asked(row: Delivery, *topics: Topic, now=SOON, ended: Ended | None = ENDED) -> bool:
        match = small_match.Match(1, "m", None)
        return is_due(match, (row,), ended, now, lambda *_: frozenset(topics))

    return asked


def test_what_is_queued_is_due_after_news_of_sending(due: Asked) -> None:
    """After a start it is due; then when the outbox or a desk changed, or after a while."""
    assert due(ROW, ended=None)
    assert due(ROW, Topic.DESKS)
    assert not due(ROW, Topic.CAPTIONS)
    assert not due(ROW)
    assert due(ROW, now=instant(LATER + TRY_AGAIN))


def test_what_waits_is_due_after_news_of_facts_or_at_its_time(due: Asked) -> None:
    """A changed caption or decision may release it; an embargo does when it is over."""
    held = replace(ROW, state=State.WAITING, reason="check")
    assert due(held, Topic.CAPTIONS)
    assert due(held, Topic.DECISIONS)
    assert not due(held, now=instant(LATER + TRY_AGAIN))
    embargo = replace(held, reason="embargo", not_before=SOON.isoformat())
    assert due(embargo)
    assert not due(embargo, now=instant(LATER + timedelta(seconds=29)))
    assert not due(embargo, ended=Ended(SOON, 10), now=SOON)


def test_what_ended_is_never_due(due: Asked) -> None:
    """Delivered, refused and withdrawn ones are left alone, even after a start."""
    for state in (State.DELIVERED, State.REFUSED, State.WITHDRAWN):
        assert not due(replace(ROW, state=state), *Topic, ended=None)


def test_with_a_low_battery_only_the_goal_path_goes_by_itself(
    own: small_match.Made, local: Path
) -> None:
    """What is first goes, the rest stays queued until it is asked for; the pages say so."""
    space = Workspace.open(own.folder)
    for frame, urgency in ((CAPTIONED, Urgency.ORDINARY), (ALSO, Urgency.FIRST)):
        queue_set(space, own.match, ["local"], Unattended(LATER), frames=[own.frames[frame]],
                  urgency=urgency)  # fmt: skip
    space.close()
    with serving(own, power=Power(0.2, on_mains=False)) as page:
        until(own, State.QUEUED, State.DELIVERED)
        assert "20 %: only the goal, answers" in page.ask("/doctor").text
        typed(page, "send here to local")
        until(own, State.DELIVERED, State.DELIVERED)


def test_many_sends_at_once_are_all_taken(
    own: small_match.Made, local: Path, page_of_local: Page
) -> None:
    """Sends typed one right after the other all go, whatever runs already; none is refused."""
    frames = (CAPTIONED, ALSO, 73)
    for frame in frames:
        typed(page_of_local, "send here to local", frame)
    until(own, *[State.DELIVERED] * len(frames))
    assert len(list(local.rglob("*.jpg"))) == len(frames)


@pytest.mark.browser
def test_the_undo_key_after_a_send_that_arrived_begins_a_kill(
    chromium, own: small_match.Made, local: Path, page_of_local: Page
) -> None:
    """The key that takes back says what is at the desk, and puts `kill` into the line."""
    tab = Tab(chromium)
    frame = own.frames[CAPTIONED]
    tab.page.goto(f"{page_of_local.address}{page_of_local.match}?frame={frame}")
    tab.line("send here to local")
    tab.said("1 picture delivered.")
    until(own, State.DELIVERED)
    tab.page.keyboard.press("F9")
    tab.until("document.querySelector('#line').value === 'kill '")
    tab.opens(frame)
    tab.line("the wrong player")
    tab.said("is killed")
    until(own, State.DELIVERED, State.DELIVERED)
    tab.context.close()
    assert tab.trouble == []
