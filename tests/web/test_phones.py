"""The log on the phone: pairing, what it may reach, entries that arrive once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta

import pytest
import small_match
from served import Page, serve

from setpiece.errors import NoSpace, NotFound, Refused
from setpiece.match.entries import Kind, current
from setpiece.match.instants import instant
from setpiece.store.matches import log_of
from setpiece.store.workspace import Workspace
from setpiece.web.phone import log as phone_log
from setpiece.web.phone.paired import CODE_LIVES, TRIES, Phones

LAN = "192.168.7.20:8027"
NOW = small_match.LATER


@pytest.fixture
def lan(own: small_match.Made) -> Iterator[Page]:
    """The page with phones let in under an address of the local network."""
    yield from serve(own, phones=(LAN,))


def code_on(page: Page) -> str:
    """The code that the laptop shows."""
    found = re.search(r'class="code"[^>]*>(\d{6})<', page.ask("/phones").text)
    assert found
    return found[1]


def paired(page: Page) -> dict[str, str]:
    """The headers of a phone that was paired."""
    answer = page.post("/phone/pair", {"code": code_on(page), "name": "left pocket"})
    assert answer.status == 200
    return {"cookie": answer.headers["set-cookie"].split(";")[0]}


def log_now(page: Page):
    """The entries that stand."""
    return current(log_of(Workspace.open(page.made.folder), page.made.match))


def test_a_code_pairs_one_phone_once(tmp_path) -> None:
    """A code gives one token; the token is known by its hash only, until it is revoked."""
    phones = Phones(tmp_path)
    token = phones.pair(phones.new_code(NOW), " ", NOW)
    phone = phones.of(token)
    assert phone is not None
    assert phone.name == "phone"
    assert token not in (tmp_path / "phones.json").read_text()
    with pytest.raises(Refused):
        phones.pair("", "x", NOW)
    phones.revoke(phone.id)
    assert phones.of(token) is None
    with pytest.raises(NotFound):
        phones.revoke(phone.id)


def test_a_code_is_spent_by_time_and_by_wrong_tries(tmp_path) -> None:
    """An old code pairs nobody, and neither does the right one after too many wrong ones."""
    phones = Phones(tmp_path)
    code = phones.new_code(NOW)
    with pytest.raises(Refused):
        phones.pair(code, "x", instant(NOW + CODE_LIVES + timedelta(seconds=1)))
    code = phones.new_code(NOW)
    wrong = "000000" if code != "000000" else "111111"
    for _ in range(TRIES):
        with pytest.raises(Refused):
            phones.pair(wrong, "x", NOW)
    with pytest.raises(Refused):
        phones.pair(code, "x", NOW)


def test_the_network_reaches_the_phones_pages_only(lan: Page) -> None:
    """Under the network's address there is the phone's page and nothing of the laptop's."""
    for path in ("/", lan.match, f"{lan.match}/desk", "/phones", "/picture/f000000000001-s.jpg"):
        assert lan.ask(path, headers={"host": LAN}).status == 403
    assert lan.ask("/phone", headers={"host": LAN}).status == 200
    assert lan.ask("/static/css/phone.css", headers={"host": LAN}).status == 200
    assert lan.ask("/phone", headers={"host": "192.168.7.21:8027"}).status == 403


def test_without_lan_there_are_no_phones(own_page: Page) -> None:
    """A server that was not started for phones has none of their pages."""
    assert own_page.ask("/phones").status == 404
    assert own_page.ask("/phone").status == 404
    assert "serve --lan" in own_page.ask(f"{own_page.match}/before").text


def test_a_phone_without_a_token_reads_and_writes_nothing(lan: Page) -> None:
    """Without a token, or with a revoked one, there is no sheet, no time and no log."""
    headers = paired(lan)
    assert lan.ask(f"/phone{lan.match}", headers=headers).status == 200
    listed = re.search(r'name="id" value="(\w+)"', lan.ask("/phones").text)
    assert listed
    lan.post("/phones/revoke", {"id": listed[1]})
    before = len(log_now(lan))
    for given in (headers, {"cookie": "phone=x"}, {}):
        assert lan.ask("/phone/time", headers=given).status == 401
        assert lan.ask(f"/phone{lan.match}", headers=given).status == 401
        sent = {"keys": [{"at": "2027-03-06T15:40:00Z", "line": "goal 9r"}]}
        answer = lan.post(f"/phone{lan.match}/keys", sent, **given)
        assert answer.status == 401
    assert len(log_now(lan)) == before


def test_a_paired_phone_shows_the_clock_card(lan: Page) -> None:
    """The card on a phone asks the laptop for its time; a phone that is not paired gets none."""
    assert lan.ask("/phone/clock-card").status == 401
    text = lan.ask("/phone/clock-card", headers=paired(lan)).text
    assert 'data-time-url="/phone/time"' in text
    assert "data-offset-ms" not in text
    for part in ("card.js", "card.css"):
        assert f"/phone/clock-card/{part}" in text
        assert lan.ask(f"/phone/clock-card/{part}").status == 200


def test_an_entry_sent_twice_is_logged_once(lan: Page) -> None:
    """An entry with its own instant is in the log at that instant, however often it is sent."""
    headers = paired(lan)
    key = {"at": "2027-03-06T15:40:00.123Z", "line": "yellow 5b"}
    first = lan.post(f"/phone{lan.match}/keys", {"keys": [key]}, **headers).value[0]
    again = lan.post(f"/phone{lan.match}/keys", {"keys": [key, key]}, **headers).value
    assert [o["entry"] for o in again] == [first["entry"]] * 2
    assert first["said"] == "Yellow card for 5 Zsófia Kerekdomb, Calder Haven"
    entry = next(e for e in log_now(lan) if e.id == first["entry"])
    assert (entry.kind, entry.typed.isoformat()) == (
        Kind.YELLOW,
        "2027-03-06T15:40:00.123000+00:00",
    )


def test_what_was_logged_is_taken_back_by_its_instant(lan: Page) -> None:
    """Taking back names the instant; done twice it is still taken back."""
    headers = paired(lan)
    at = "2027-03-06T15:41:00.000Z"
    before = len(log_now(lan))
    keys = [{"at": at, "line": "goal 9b"}, {"at": at, "act": "undo"}, {"at": at, "act": "undo"}]
    answers = lan.post(f"/phone{lan.match}/keys", {"keys": keys}, **headers).value
    assert all(a["wrong"] == "" for a in answers)
    assert len(log_now(lan)) == before


def test_one_wrong_key_does_not_hold_up_the_rest(lan: Page) -> None:
    """A line that cannot be logged is told; those after it are logged."""
    headers = paired(lan)
    keys = [
        {"at": "2027-03-06T15:42:00.000Z", "line": "goal 99r"},
        {"at": "2027-03-06T15:42:10.000Z", "line": "red 2b"},
    ]
    wrong, right = lan.post(f"/phone{lan.match}/keys", {"keys": keys}, **headers).value
    assert "99" in wrong["wrong"]
    assert right["entry"]


def test_a_full_disk_leaves_the_keys_in_the_phone(
    lan: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the laptop could not write is answered with no outcome, so that it is sent again."""
    headers = paired(lan)
    before = len(log_now(lan))
    keys = [{"at": f"2027-03-06T15:40:0{n}.000Z", "line": "yellow 5b"} for n in range(2)]
    written = phone_log.add_line
    left = [1]

    def add_line(*given, **named):
        if not left:
            raise NoSpace("the disk is full")
        left.pop()
        return written(*given, **named)

    with monkeypatch.context() as full:
        full.setattr(phone_log, "add_line", add_line)
        answer = lan.post(f"/phone{lan.match}/keys", {"keys": keys}, **headers)
    assert answer.status == 500
    lan.post(f"/phone{lan.match}/keys", {"keys": keys}, **headers)
    assert len(log_now(lan)) == before + 2


def test_the_phone_takes_the_sheet_along(lan: Page) -> None:
    """Numbers, names and who is on come with the match, so that the phone needs nobody."""
    value = lan.ask(f"/phone{lan.match}", headers=paired(lan)).value
    home, away = value["sides"]
    assert (home["letter"], home["colour"]) == ("r", "#b5382a")
    on = {p["number"]: p["on"] for p in away["players"]}
    assert (on[17], on[8]) == (True, False)
    assert value["score"] == "2–1"


def test_the_pad_is_printed_without_the_phone(page) -> None:
    """The pad has empty lines and both sides' numbers."""
    text = page.ask(f"{page.match}/pad").text
    assert "<b>9</b> Freya Ostmark" in text
    assert text.count("<tr>") > 20
