"""The commands of what goes to desks, as a photographer types them."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Setpiece = Callable[..., Any]


@pytest.fixture
def with_desk(in_match: Setpiece, tmp_path: Path) -> Setpiece:
    """`setpiece` in a workspace with one fixture and one folder desk, City."""
    (tmp_path / "city").mkdir()
    ran = in_match(
        "desk", "add", "City", "--protocol", "folder", "--path", str(tmp_path / "city"),
        "--style", "north",
    )  # fmt: skip
    assert ran.status == 0, ran.err
    return in_match


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("outbox", "withdraw", "99"), 2, "no such delivery"),
        (("outbox", "again", "99", "--reason", "lost"), 2, "no such delivery"),
        (("outbox", "let-go", "99", "--reason", "asked"), 2, "no such delivery"),
        (("outbox", "enter", "A-0001", "City", "x.jpg"), 2, "no frame has that name"),
        (("request", "add", "Moon", "--who", "9r"), 2, "no desk has that name"),
        (("request", "add", "City"), 2, "a request says who or what"),
        (("request", "add", "City", "--who", "9r", "--shape", "round"), 2, "One of: any"),
        (("request", "answer", "7", "A-0001"), 2, "no such request"),
        (("request", "decline", "7", "--reason", "none"), 2, "no such request"),
        (("kill", "A-0001", "--reason", "x"), 2, "no frame has that name"),
        (("kill", "A-0001"), 2, "a kill has a reason"),
        (("correct", "send", "A-0001"), 2, "no frame has that name"),
        (("send-goal",), 2, "the log has no goal that counts"),
        (("send-goal", "7"), 2, "the log has no such goal"),
        (("desk", "set", "City", "--under-review", "maybe"), 2, "One of: held, without-score"),
        (("desk", "set", "City", "--edition", "25:00"), 2, "Write 17:30"),
        (("desk", "set", "City", "--smaller-to", "3"), 2, "200 to 20,000"),
        (("desk", "pause", "Moon"), 2, "no desk has that name"),
        (("desk", "pin", "Moon", "SHA256:x"), 2, "no desk has that name"),
        (("desk", "pin", "City", "SHA256:x"), 2, "folder has nothing to pin"),
        (("terms", "A-0001", "--exclusive", "City"), 2, "no frame has that name"),
        (("crop", "A-0001", "--box", "0,0,2,2"), 2, "a crop lies inside its picture"),
        (("crop", "A-0001", "--box", "left"), 2, "left,top,width,height"),
        (("crop", "A-0001", "--ratio", "3:2"), 2, "no frame has that name"),
        (("crop", "A-0001", "--ratio", "3:2", "--box", "0,0,1,1"), 2, "a box or a ratio"),
    ],
)
def test_wrong_use_is_a_sentence_that_says_what_to_do(
    with_desk: Setpiece, words: tuple[str, ...], status: int, says: str
) -> None:
    """What cannot be done is said in words, with a next step and without a traceback."""
    ran = with_desk(*words)
    assert (ran.status, "Traceback" in ran.err) == (status, False), ran.err
    assert says in ran.err


def test_a_desk_is_served_as_it_was_said(with_desk: Setpiece) -> None:
    """Settings are kept one by one, and changing the address leaves them as they were."""
    words = ("--embargo", "21:00:00", "--under-review", "without-score", "--edition", "17:30")
    made = json.loads(with_desk("desk", "set", "City", *words, "--json").out)
    assert made["settings"]["embargo_until"] == "2027-03-06T20:00:00Z"
    assert made["settings"]["under_review"] == "without-score"
    assert "paused" in with_desk("desk", "pause", "City").out
    (desk,) = json.loads(with_desk("desk", "list", "--json").out)
    assert (desk["settings"]["paused"], desk["settings"]["editions"]) == (True, ["17:30"])
    with_desk("desk", "resume", "City")
    again = json.loads(with_desk("desk", "set", "City", "--embargo", "none", "--json").out)
    assert (again["settings"]["embargo_until"], again["settings"]["paused"]) == (None, False)


def test_a_desk_is_held_to_the_key_it_confirmed(with_desk: Setpiece) -> None:
    """`desk pin` changes the fingerprint and nothing else; a folder is a pattern or refused."""
    words = ("--protocol", "sftp", "--host", "in.moon.example", "--user", "me", "--style", "north")
    folder = "in/{{ date }}/{{ home }}-{{ away }}"
    assert with_desk("desk", "add", "Moon", *words, "--folder", folder).status == 0
    key = f"SHA256:{'x' * 43}"
    assert key in with_desk("desk", "pin", "Moon", key).out
    (moon,) = (
        d for d in json.loads(with_desk("desk", "list", "--json").out) if d["name"] == "Moon"
    )
    assert (moon["address"]["fingerprint"], moon["address"]["folder"]) == (key, folder)
    wrong = with_desk("desk", "add", "Moon", *words, "--folder", "in/{{ dat }}")
    assert (wrong.status, "Did you mean date" in wrong.err) == (2, True)


def test_an_empty_outbox_and_nothing_wrong(with_desk: Setpiece) -> None:
    """Without pictures the outbox is empty, nothing is wrong, no request is open."""
    assert with_desk("outbox").out == "0 deliveries.\n"
    assert json.loads(with_desk("outbox", "--json").out) == []
    assert "0 pictures at desks" in with_desk("correct", "list").out
    assert with_desk("correct", "list").status == 0
    assert with_desk("request", "list").out == "0 requests.\n"


def test_an_empty_set_says_what_to_do(with_desk: Setpiece) -> None:
    """Sending nothing says how a frame comes into the set."""
    assert "No frame is in the set yet: setpiece use FRAME" in with_desk("send").out


def test_a_request_is_noted_and_declined(with_desk: Setpiece) -> None:
    """A request is listed with who and by when, and closed with a reason."""
    noted = with_desk("request", "add", "City", "--who", "9r", "--by", "17:30:00")
    assert "Given9 Homelyi" in noted.out
    assert "Nothing fits yet" in noted.out
    listed = with_desk("request", "list").out
    assert "open" in listed
    assert "by 16:30Z" in listed
    assert with_desk("request", "decline", "1", "--reason", "she did not play").status == 0
    assert "declined" in with_desk("request", "list").out
