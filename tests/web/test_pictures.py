"""Small pictures: only by a frame's id, and kept by the browser."""

from __future__ import annotations

import re

import pytest


def test_a_picture_is_kept_for_ever_by_its_look(page) -> None:
    """An address that names the look is immutable; asked again by its tag nothing is sent."""
    address = re.search(r'/picture/[^"]+', page.ask(page.match).text)
    assert address
    first = page.ask(address[0])
    assert first.status == 200
    assert first.headers["content-type"] == "image/jpeg"
    assert "immutable" in first.headers["cache-control"]
    again = page.ask(address[0], headers={"if-none-match": first.headers["etag"]})
    assert (again.status, again.body) == (304, b"")


def test_a_picture_without_its_look_is_asked_for_again(page) -> None:
    """An address that names no look may be kept only if the server is asked each time."""
    frame = page.made.frames[0]
    assert page.ask(f"/picture/{frame}-m.jpg").headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize(
    "name",
    [
        "f00000000ffff-s.jpg",
        "../setpiece.db",
        "..%2Fsetpiece.db",
        "%2e%2e/setpiece.db",
        "..%5Csetpiece.db",
        "f000000000001-s.jpg%00.png",
        "f000000000001-x.jpg",
        "F000000000001-s.jpg",
        "f000000000001-s.part",
        "f000000000001-s.jpg/..",
    ],
)
def test_nothing_else_is_given_out(page, name: str) -> None:
    """An unknown frame, another folder or another ending gives no picture."""
    answer = page.ask(f"/picture/{name}")
    assert answer.status == 404
    assert b"SQLite" not in answer.body
