"""Requests: what a desk rings for, what fits, and the receipt that closes it."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from desk_match import Laptop, at, folder_desk, shoot

from setpiece.errors import Choices, WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.store.frames import Decision
from setpiece.store.matches import Match
from setpiece.store.outbox import deliveries
from setpiece.store.requests import Stage
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.queueing import queue_set
from setpiece.work.desk.request import Shape, answer, ask_for, decline, fitting, requests
from setpiece.work.job import Unattended
from setpiece.work.matchday import Matchday


@pytest.fixture
def pictures(space: Workspace, played: Match, tmp_path: Path, now: Instant) -> dict[str, str]:
    """Frames by what they are: captioned and not, upright and landscape, around 9r's goal."""
    folder_desk(space, tmp_path, "City", now)
    found = {
        "joy": shoot(space, played, 1, at(2, "28:45")),
        "upright": shoot(space, played, 2, at(2, "28:50"), size=(300, 450)),
        "strike": shoot(space, played, 3, at(2, "28:41"), decision=Decision.NONE),
        "spiked": shoot(space, played, 4, at(2, "28:47"), decision=Decision.SPIKE),
        "keeper": shoot(space, played, 5, at(2, "22:56")),
    }
    for name, line in (
        ("joy", "9r celebrates with 11r right"),
        ("upright", "9r celebrates"),
        ("spiked", "9r celebrates"),
        ("keeper", "1g saves 10w penalty"),
    ):
        write_caption(space, played, found[name], line, Unattended(now))
    return found


def test_frames_that_fit_are_shown_captioned_ones_first(
    space: Workspace, played: Match, pictures: dict[str, str], now: Instant
) -> None:
    """Asked for 9r: her captioned frames, then those around her goal; nothing spiked."""
    made = ask_for(space, played, "City", Laptop(at(2, "40:00")), who="9r")
    fits = fitting(Matchday(space, played), made)
    assert {f.frame_id for f in fits[:2]} == {pictures["joy"], pictures["upright"]}
    assert [f.frame_id for f in fits[2:]] == [pictures["strike"]]
    assert [f.ready for f in fits] == [True, True, False]
    assert "74'" in fits[2].why


def test_a_shape_is_the_pictures_own(
    space: Workspace, played: Match, pictures: dict[str, str], now: Instant
) -> None:
    """Asked for an upright, only the upright is shown."""
    made = ask_for(space, played, "City", Unattended(now), who="Ørbeck", shape=Shape.UPRIGHT)
    assert [f.frame_id for f in fitting(Matchday(space, played), made)] == [pictures["upright"]]


def test_words_find_what_captions_say(
    space: Workspace, played: Match, pictures: dict[str, str], now: Instant
) -> None:
    """Asked for a save, the captioned save is first."""
    made = ask_for(space, played, "City", Unattended(now), what="saves")
    assert fitting(Matchday(space, played), made)[0].frame_id == pictures["keeper"]


def test_an_answer_jumps_the_queue_and_its_receipt_closes_the_request(
    space: Workspace, played: Match, pictures: dict[str, str], now: Instant
) -> None:
    """What was asked for goes before what was queued earlier; then the request is closed."""
    queue_set(space, played, ["City"], Unattended(now), frames=[pictures["joy"]])
    by = instant(now + timedelta(hours=5))
    made = ask_for(space, played, "City", Unattended(now), what="saves", by=by)
    report = answer(space, played, made.id, [pictures["keeper"]], Unattended(now))
    assert report.queued == 1
    assert requests(Matchday(space, played))[0].stage is Stage.ANSWERED
    send_waiting(space, played, Laptop(at(2, "40:00")))
    first = min(deliveries(space, played), key=lambda d: d.ended)
    assert first.frame_id == pictures["keeper"]
    (one,) = requests(Matchday(space, played))
    assert (one.stage, one.wanted.by) == (Stage.CLOSED, by)
    assert first.remote_name in one.ended
    with pytest.raises(WrongUse, match="closed"):
        answer(space, played, made.id, [pictures["joy"]], Unattended(now))


def test_an_answer_the_check_holds_leaves_the_request_open(
    space: Workspace, played: Match, pictures: dict[str, str], now: Instant
) -> None:
    """An uncaptioned frame answers nothing: it is named, and the request stays open."""
    made = ask_for(space, played, "City", Unattended(now), who="9r")
    report = answer(space, played, made.id, [pictures["strike"]], Unattended(now))
    assert (report.queued, len(report.left_out)) == (0, 1)
    assert requests(Matchday(space, played))[0].stage is Stage.OPEN
    decline(space, played, made.id, "not before the whistle")
    assert requests(Matchday(space, played))[0].stage is Stage.DECLINED


def test_who_is_meant_is_asked_never_guessed(
    space: Workspace, played: Match, pictures: dict[str, str], now: Instant
) -> None:
    """A family name of two players gives the choice of both."""
    with pytest.raises(Choices, match="Hanna Kolbrand"):
        ask_for(space, played, "City", Unattended(now), who="Kolbrand")
