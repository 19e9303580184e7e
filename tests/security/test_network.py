"""A stranger on the same network, what a phone's token is good for, and the page that tells it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import small_match
from served import NOW, Page

from setpiece.errors import Refused
from setpiece.web.phone.paired import CODE_DIGITS, TRIES, Phones

LAN = "192.168.7.20:8027"
ROOT = Path(__file__).resolve().parent.parent.parent
GUESSES = 200


def test_guessing_a_code_gets_nowhere(tmp_path: Path) -> None:
    """Of a million codes five may be tried, then the code is spent: also the right one."""
    phones = Phones(tmp_path)
    code = phones.new_code(NOW)
    guesses = [f"{n:0{CODE_DIGITS}}" for n in range(GUESSES) if f"{n:0{CODE_DIGITS}}" != code]
    for guess in (*guesses, code):
        with pytest.raises(Refused):
            phones.pair(guess, "stranger", NOW)
    assert phones.all() == ()
    assert TRIES / 10**CODE_DIGITS <= 1e-5


def test_guessing_over_the_network_gets_nowhere(lan: Page) -> None:
    """A stranger who tries codes is refused each time, and sees no code to try."""
    given = {"host": LAN, "origin": f"http://{LAN}"}
    for guess in range(TRIES + 5):
        assert lan.post("/phone/pair", {"code": f"{guess:06}"}, **given).status == 403
    assert lan.ask("/phones", headers={"host": LAN}).status == 403
    assert Phones(lan.made.folder).all() == ()


def test_a_header_does_not_make_a_stranger_local(lan: Page) -> None:
    """What a proxy would say of a request's sender and host is not believed."""
    for name in ("x-forwarded-for", "x-forwarded-host", "forwarded", "x-real-ip"):
        told = {"host": LAN, name: "127.0.0.1"}
        assert lan.ask("/", headers=told).status == 403
        assert lan.ask("/", headers={"host": "evil.example", name: "127.0.0.1"}).status == 403


def test_a_phones_token_opens_its_own_pages_only(lan: Page, phone: dict[str, str]) -> None:
    """With a paired phone's token the laptop's pages stay shut, and nothing is changed there."""
    at_phone = phone | {"host": LAN, "origin": f"http://{LAN}"}
    for path in ("/", lan.match, f"{lan.match}/desk", "/phones", "/doctor"):
        assert lan.ask(path, headers=at_phone).status == 403
    line = {"line": "goal 9r", "frame": "", "version": 0}
    assert lan.post(f"{lan.match}/line", line, **at_phone).status == 403
    desk = {"name": "x", "protocol": "folder", "style": "north", "path": "/"}
    assert lan.post("/desks", desk, **at_phone).status == 403


def test_a_token_is_kept_as_a_hash_and_sent_as_a_strict_cookie(
    lan: Page, own: small_match.Made
) -> None:
    """The laptop keeps no token, and scripts and other sites never see the phone's."""
    code = re.search(r'class="code"[^>]*>(\d{6})<', lan.ask("/phones").text)
    assert code
    answer = lan.post("/phone/pair", {"code": code[1], "name": "x"})
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    token = cookie.split(";")[0].partition("=")[2]
    assert len(token) > 40
    for path in own.folder.rglob("*"):
        if path.is_file() and path.suffix != ".lock":  # locks come and go, and are empty
            assert token.encode() not in path.read_bytes()


def test_every_claim_of_the_security_page_has_its_test() -> None:
    """docs/security.md names tests, and each of them is there."""
    text = (ROOT / "docs" / "security.md").read_text("utf-8")
    named = re.findall(r"`(tests/[\w/]+\.py)`(?:,? `(test_\w+)`)?", text)
    assert len(named) > 20
    for path, test in named:
        code = (ROOT / path).read_text("utf-8")
        assert not test or f"def {test}(" in code, (path, test)
    rows = [line for line in text.splitlines() if line.startswith("| ") and "---" not in line]
    claims = [row for row in rows if not row.startswith("| claim")]
    assert [row for row in claims if "`tests/" not in row] == []
