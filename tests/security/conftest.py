"""The small match and the page over it, with phones let in: for the tests of what holds."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent.parent / "web"))
sys.path.append(str(Path(__file__).parent))

import small_match
from match_copies import made, own, pattern
from served import Page, serve

LAN = "192.168.7.20:8027"


@pytest.fixture
def lan(own: small_match.Made) -> Iterator[Page]:
    """The page over a match of the test's own, phones let in under an address of the network."""
    yield from serve(own, phones=(LAN, "127.0.0.1"))


@pytest.fixture
def phone(lan: Page) -> dict[str, str]:
    """The headers of a phone that was paired."""
    code = re.search(r'class="code"[^>]*>(\d{6})<', lan.ask("/phones").text)
    assert code
    answer = lan.post("/phone/pair", {"code": code[1], "name": "left pocket"})
    assert answer.status == 200
    return {"cookie": answer.headers["set-cookie"].split(";")[0]}
