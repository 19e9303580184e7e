"""Desks set up on the page."""

from __future__ import annotations

from pathlib import Path

from setpiece.send.desk import Protocol
from setpiece.store.workspace import Workspace
from setpiece.work.desk.desks import desk_named


def desk_of(page, name: str):
    """The desk as the workspace has it."""
    return desk_named(Workspace.open(page.made.folder), name)


def test_a_desk_is_added_paused_and_shown(own_page) -> None:
    """A desk typed into the form is in the workspace and on the page, without any password."""
    form = {"name": "City", "protocol": "sftp", "host": "in.city.example", "user": "press",
            "port": "2222", "folder": "/sport", "style": "north", "paused": "on"}  # fmt: skip
    assert own_page.post("/desks", form).status == 200
    made = desk_of(own_page, "City")
    assert made.address.spelled() == "sftp://press@in.city.example:2222"
    assert made.settings.paused
    assert "in.city.example" in own_page.ask(f"{own_page.match}/desk").text


def test_a_change_keeps_what_the_form_does_not_show(own_page) -> None:
    """A new user leaves time limits and the rest of the address as they were."""
    before = desk_of(own_page, "north").address
    form = {"name": "north", "protocol": "ftp", "host": before.host, "user": "other",
            "folder": before.folder, "style": "north"}  # fmt: skip
    assert own_page.post("/desks", form).status == 200
    after = desk_of(own_page, "north").address
    assert (after.user, after.timeout_s, after.protocol) == (
        "other",
        before.timeout_s,
        Protocol.FTP,
    )


def test_a_wrong_address_is_refused_in_words(own_page) -> None:
    """No name, a host with a slash, a port that is none: refused, and nothing is kept."""
    good = {"name": "X", "protocol": "sftp", "host": "a.example", "user": "u", "style": "north"}
    for wrong in (
        {"name": " "},
        {"host": "a/b"},
        {"port": "x"},
        {"protocol": "smtp"},
        {"user": ""},
    ):
        answer = own_page.post("/desks", good | wrong)
        assert answer.status == 422
        assert answer.value["wrong"]
    assert "a.example" not in own_page.ask(f"{own_page.match}/desk").text


def test_a_rehearsal_tells_each_step(own_page, tmp_path: Path) -> None:
    """A folder desk is rehearsed step by step and nothing is left there."""
    place = tmp_path / "desk"
    place.mkdir()
    form = {"name": "Here", "protocol": "folder", "path": str(place), "style": "north"}
    assert own_page.post("/desks", form).status == 200
    said = own_page.post("/desks/test", {"name": "Here"}).value["said"]
    assert said.count("✓") >= 5
    assert list(place.iterdir()) == []


def test_the_doctor_says_what_works(page) -> None:
    """The doctor's page lists what was examined, each with a word beside its mark."""
    text = page.ask("/doctor").text
    assert "Database" in text
    assert "works" in text
