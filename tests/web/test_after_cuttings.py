"""Cuttings on the page after the match: shown with their reasons, confirmed and rejected."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import numpy as np
import pytest
import simplejpeg
import small_match
from playwright.sync_api import Browser, expect

from setpiece.books.cuttings import Publication, State, Verdict
from setpiece.match.instants import instant
from setpiece.store.books import entries_of
from setpiece.store.cuttings import StoredCutting, cuttings_of, put_cutting
from setpiece.store.forms import to_json
from setpiece.store.workspace import Workspace
from setpiece.web.after.cuttings import clips
from setpiece.web.wording import wording
from setpiece.work.cuttings.kept import Found, Placed
from setpiece.work.cuttings.recognising import Sighting

NOW = instant(datetime(2027, 3, 7, 9, 0, tzinfo=UTC))


def keep(own: small_match.Made, verdict: Verdict, name: str) -> int:
    """A cutting of the goal in the workspace, found as so sure; its number."""
    space = Workspace.open(own.folder)
    picture = np.full((40, 60, 3), 120, dtype=np.uint8)
    path = own.folder / "cuttings" / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(simplejpeg.encode_jpeg(picture))
    sighting = Sighting(own.frames[73], "", verdict, ("20 points agree", "a reason"), 20)
    handle = "A-0001"
    found = Found((Placed(own.match.folder, handle, sighting),))
    publication = Publication(outlet="Gazette", day="2027-03-07")
    value = StoredCutting(0, name, 0, name, f"cuttings/{name}", State.OPEN, publication,
                          to_json(found))  # fmt: skip
    return put_cutting(space, value, NOW).number


def test_the_surest_stands_first_and_others_say_why(own: small_match.Made) -> None:
    """This frame goes before same moment; what was rejected or shows nothing is not there."""
    compare = keep(own, Verdict.SAME_MOMENT, "b.jpg")
    sure = keep(own, Verdict.THIS_FRAME, "a.jpg")
    shown = clips(Workspace.open(own.folder), wording()).shown
    assert [c.number for c in shown] == [sure, compare]
    assert [c.sure for c in shown] == [True, False]
    assert shown[0].verdict == "This frame:"
    assert shown[1].why == "20 points agree; a reason"
    assert (shown[0].outlet, shown[0].day) == ("Gazette", "2027-03-07")


def test_a_yes_goes_to_the_ledger_and_a_no_does_not(own: small_match.Made, own_page) -> None:
    """A confirmed cutting is a use with its outlet; a rejected one leaves the list; both once."""
    yes, no = keep(own, Verdict.THIS_FRAME, "a.jpg"), keep(own, Verdict.LOOK, "b.jpg")
    page = own_page.ask(f"{own_page.match}/after").text
    assert "Cuttings to confirm" in page
    typed = {"outlet": "Gazette", "day": "2027-03-07", "placement": "page 3", "desk": "North"}
    answer = own_page.ask(f"/cutting/{yes}/confirm", method="POST", send=typed)
    assert "entry" in json.loads(answer.text)["said"]
    space = Workspace.open(own.folder)
    (entry,) = entries_of(space)
    assert (entry.desk, entry.content.outlet, entry.content.placement) == (
        "North", "Gazette", "page 3",
    )  # fmt: skip
    again = own_page.ask(f"/cutting/{yes}/confirm", method="POST", send=typed)
    assert "confirmed already" in json.loads(again.text)["wrong"]
    own_page.ask(f"/cutting/{no}/reject", method="POST", send={"reason": "another match"})
    states = {c.number: c.state for c in cuttings_of(space)}
    assert states == {yes: State.CONFIRMED, no: State.REJECTED}
    assert "Cuttings to confirm" not in own_page.ask(f"{own_page.match}/after").text
    assert len(entries_of(space)) == 1


def test_a_cutting_without_its_day_is_asked_for(own: small_match.Made, own_page) -> None:
    """A date that is none is said beside the button, and nothing is noted."""
    number = keep(own, Verdict.THIS_FRAME, "a.jpg")
    typed = {"outlet": "Gazette", "day": "tomorrow", "placement": "", "desk": ""}
    answer = own_page.ask(f"/cutting/{number}/confirm", method="POST", send=typed)
    assert json.loads(answer.text)["wrong"]
    assert entries_of(Workspace.open(own.folder)) == ()


def test_a_cutting_is_drawn_and_one_that_is_not_there_is_said(
    own: small_match.Made, own_page
) -> None:
    """The picture is a JPEG; a number that no cutting has is a 404, a yes to it a sentence."""
    number = keep(own, Verdict.THIS_FRAME, "a.jpg")
    picture = own_page.ask(f"/cutting/{number}.jpg")
    assert picture.status == 200
    assert picture.body.startswith(b"\xff\xd8")
    assert own_page.ask("/cutting/99.jpg").status == 404
    answer = own_page.ask("/cutting/99/confirm", method="POST", send={"outlet": "x"})
    assert json.loads(answer.text)["wrong"]


@pytest.mark.browser
def test_one_key_says_yes_to_what_is_this_frame(
    chromium: Browser, own: small_match.Made, own_page
) -> None:
    """The key notes the use of the surest cutting and of no other; F1 tells of it; the one in
    hand is confirmed though it is not sure."""
    sure = keep(own, Verdict.THIS_FRAME, "a.jpg")
    compare = keep(own, Verdict.SAME_MOMENT, "b.jpg")
    context = chromium.new_context()
    tab = context.new_page()
    tab.set_default_timeout(30_000)
    tab.goto(f"{own_page.address}{own_page.match}/after")
    expect(tab.locator("[data-key-shown-of=use]")).to_have_text("F2", timeout=30_000)
    tab.keyboard.press("F1")
    told = tab.locator("dialog.keys")
    expect(told).to_contain_text("yes: this cutting shows that frame", timeout=30_000)
    tab.keyboard.press("F1")
    tab.keyboard.press("F2")
    expect(tab.locator("[data-clip]")).to_have_count(1, timeout=30_000)
    states = {c.number: c.state for c in cuttings_of(Workspace.open(own.folder))}
    assert (states[sure], states[compare]) == (State.CONFIRMED, State.OPEN)
    tab.keyboard.press("F2")
    tab.locator(f"#outlet-{compare}").focus()
    assert {c.number: c.state for c in cuttings_of(Workspace.open(own.folder))}[
        compare
    ] is State.OPEN
    tab.keyboard.press("F2")
    expect(tab.locator("[data-clip]")).to_have_count(0, timeout=30_000)
    context.close()
