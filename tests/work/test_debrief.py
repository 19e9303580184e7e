"""The debrief of a match in a workspace: page, PDF, what was told of kicks."""

from __future__ import annotations

import io
import json
import re
import shutil
import sys
from dataclasses import replace
from datetime import timedelta
from importlib.resources import files
from pathlib import Path

import pytest
from pypdf import PdfReader
from sqlalchemy import update

sys.path.append(str(Path(__file__).parent))
from after_the_match import fit_clock, play, say, shoot
from typed_commands import run

from setpiece.books.entries import Expense, Use
from setpiece.books.money import Money
from setpiece.errors import BadFile, NotFound, WrongUse
from setpiece.match.entries import How, Kind
from setpiece.match.instants import Instant, instant
from setpiece.store.forms import to_json
from setpiece.store.frames import frames_of
from setpiece.store.matches import Match, add_fixture, match_folder
from setpiece.store.outbox import Delivery, State, StoredDesk, queue, save_desk
from setpiece.store.steps import steps_of
from setpiece.store.tables import delivery
from setpiece.store.workspace import Workspace
from setpiece.work.before.plan import GROUND
from setpiece.work.debrief.facts import facts_of
from setpiece.work.debrief.kicks import FILE, KickTold, entry_number, mark, tell_kick, told
from setpiece.work.debrief.page import write_debrief
from setpiece.work.demo import scenario
from setpiece.work.job import Unattended
from setpiece.work.ledger import entries as books
from setpiece.work.matchday import Matchday


@pytest.fixture
def played(space: Workspace, now: Instant) -> Match:
    """The demo's match with a burst around its free kick, one frame captioned."""
    of = play(space, now)
    for number, clock in enumerate(("28:39.6", "28:39.8", "28:40.0", "28:40.2", "28:40.4"), 1):
        shoot(space, of, number, clock)
    fit_clock(space, of, now)
    say(space, of, frames_of(space, of)[2].id, now, headline="Nine scores", description="Nine.")
    return of


def free_kick(space: Workspace, of: Match) -> int:
    """The number of the entry of the free kick's goal."""
    return next(
        int(e.id) for e in Matchday(space, of).fold.entries
        if e.kind is Kind.GOAL and e.how is How.FREE_KICK
    )  # fmt: skip


def deliver(space: Workspace, of: Match, frame: str, now: Instant) -> None:
    """The picture as City has it, a minute and a half after it was shot."""
    save_desk(space, StoredDesk("City", '{"protocol": "folder"}', "north"), now)
    caption = Matchday(space, of).captions[frame].caption
    value = Delivery(0, of.id, frame, 1, "City", "x", "c", "", "", "n.jpg", 9, State.QUEUED,
                     now.isoformat(), caption=to_json(caption))  # fmt: skip
    made, _ = queue(space, of, value)
    shot = Matchday(space, of).times[frame].middle
    ended = (shot + timedelta(seconds=90)).isoformat()
    with space.writing() as connection:
        connection.execute(
            update(delivery)
            .where(delivery.c.id == made.id)
            .values(state="delivered", receipt="{}", ended=ended)
        )


def test_page_and_pdf_are_written_and_say_the_same(
    space: Workspace, played: Match, now: Instant
) -> None:
    """Both hold the sides, the entries, the missed ones and the delivery; again, in one place."""
    deliver(space, played, frames_of(space, played)[2].id, now)
    written = write_debrief(space, played)
    html = written.html.read_text("utf-8")
    pages = PdfReader(written.pdf).pages
    paper = re.sub(r"\s+", " ", " ".join(p.extract_text() for p in pages))
    for words in ("Lethenbruck", "What the log says", "missed", "Kolbrand", "Settings used"):
        assert words in html
        assert words in paper
    assert "1 picture" in html or "one picture" in html
    before = written.pdf.read_bytes()
    assert write_debrief(space, played).pdf.read_bytes() == before


def test_the_facts_are_those_of_the_workspace(
    space: Workspace, played: Match, now: Instant
) -> None:
    """Frames with their place, the delivery with its steps, the ledger's word on the match."""
    frame = frames_of(space, played)[2].id
    deliver(space, played, frame, now)
    caller = Unattended(now)
    use = Use("", "", "Gazette", "front page", fee=Money.of(80, "EUR"))
    books.note_use(space, played, frame, use, "City", now.date(), caller)
    parking = Expense("parking", Money.of("9.50", "EUR"), match=played.folder)
    books.note_expense(space, parking, None, now.date(), caller)
    facts = facts_of(Matchday(space, played))
    assert (facts.home, facts.away, facts.score) == ("Lethenbruck", "Marnstein", "2–1")
    assert len(facts.frames) == 5
    assert all(f.period == 2 for f in facts.frames)
    whistles = [e for e in facts.entries if e.kind in (Kind.KICK_OFF, Kind.PERIOD_END)]
    assert [e.period for e in whistles] == [1, 1, 2, 2]
    assert facts.lengths_s == {1: scenario.FIRST_HALF_S, 2: scenario.SECOND_HALF_S}
    (sent,) = facts.deliveries
    assert (sent.sent - sent.shot).total_seconds() == 90
    assert sent.card == steps_of(space, played).taken_in[frame]
    assert facts.money is not None
    assert (facts.money.uses, facts.money.unpaid) == (1, 1)
    assert facts.money.due == ("80.00 EUR",)
    assert facts.money.spent == ("9.50 EUR",)


def test_a_match_that_went_to_no_desk_is_not_held_beside_it(
    space: Workspace, played: Match, now: Instant
) -> None:
    """An earlier fixture without a sheet, and so without deliveries, is passed over."""
    earlier = instant(scenario.fixture().kick_off - timedelta(days=14))
    add_fixture(space, replace(scenario.fixture(), kick_off=earlier), now)
    assert facts_of(Matchday(space, played)).earlier == ()


def test_marked_frames_are_what_was_got(space: Workspace, played: Match) -> None:
    """Two frames marked, one taken back: the kick holds one; the plan needs ground and place."""
    number = free_kick(space, played)
    assert mark(space, played, ["A-0003", "A-0004"]) == 2
    mark(space, played, ["A-0004"], holds=False)
    (kick,) = (k for k in facts_of(Matchday(space, played)).kicks if k.kind == "free kick")
    assert kick.got == 1
    assert kick.planned is None
    text = files("setpiece.work.demo").joinpath("ground.toml").read_text("utf-8")
    (match_folder(space, played) / GROUND).write_text(text, "utf-8")
    words = tell_kick(space, played, number, KickTold("near", (-2.0, 21.0), "West End, right"))
    assert "Ørbeck from a free kick" in words
    tell_kick(space, played, number, KickTold(speed_m_s=25.0))
    kept = next(iter(told(space, played).kicks.values()))
    assert kept == KickTold("near", (-2.0, 21.0), "West End, right", 25.0)
    (kick,) = (k for k in facts_of(Matchday(space, played)).kicks if k.kind == "free kick")
    assert kick.planned is not None
    assert kick.better
    assert kick.frames_per_s == pytest.approx(5.0, abs=0.1)


def test_what_is_told_wrongly_is_refused(space: Workspace, played: Match) -> None:
    """No such entry, no kick, no such goal, no such seat, no such frame: said, and nothing kept."""
    number = free_kick(space, played)
    text = files("setpiece.work.demo").joinpath("ground.toml").read_text("utf-8")
    (match_folder(space, played) / GROUND).write_text(text, "utf-8")
    with pytest.raises(NotFound, match="no such penalty"):
        tell_kick(space, played, 1, KickTold("near"))
    with pytest.raises(WrongUse, match="near goal or the far"):
        tell_kick(space, played, number, KickTold("left"))
    with pytest.raises(WrongUse, match="no seat"):
        tell_kick(space, played, number, KickTold("near", None, "the moon"))
    with pytest.raises(NotFound):
        mark(space, played, ["A-9999"])
    with pytest.raises(WrongUse, match="no entry"):
        entry_number("goal")
    assert entry_number("e19") == entry_number("19") == 19
    assert not (match_folder(space, played) / FILE).exists()


def test_a_file_of_kicks_that_is_not_ours_is_named(space: Workspace, played: Match) -> None:
    """Broken JSON in debrief/kicks.json is an error with its path, never a traceback."""
    path = match_folder(space, played) / FILE
    path.write_text('{"kicks": {"19": {"start": [1]}}}', "utf-8")
    with pytest.raises(BadFile, match="kicks"):
        told(space, played)
    path.write_text("[", "utf-8")
    with pytest.raises(BadFile, match="kicks"):
        facts_of(Matchday(space, played))


def test_a_frame_whose_file_has_gone_still_counts(space: Workspace, played: Match) -> None:
    """Frames that lie in the archive alone keep their place in the debrief."""
    shutil.rmtree(match_folder(space, played) / "frames")
    facts = facts_of(Matchday(space, played))
    assert len(facts.frames) == 5
    assert {f.distance_m for f in facts.frames} == {None}


def test_the_commands_as_typed(space: Workspace, played: Match) -> None:
    """`kick` marks and `debrief` writes, says its findings and where the page is; JSON too."""
    number = free_kick(space, played)
    marked = run(space.folder, "kick", f"e{number}", "A-0003", "--not", "A-0001")
    assert marked.status == 0
    assert "2 frames marked" in marked.out
    said = run(space.folder, "debrief")
    assert said.status == 0
    assert "debrief.html" in said.out
    assert "1. " in said.out
    facts = json.loads(run(space.folder, "debrief", "--match", "lethenbruck", "--json").out)
    assert facts["score"] == "2–1"
    assert run(space.folder, "debrief", "--match", "nothing").status == 2
    assert run(space.folder, "kick", "e1").status == 2


def test_a_match_without_a_sheet_says_what_it_needs(space: Workspace, now: Instant) -> None:
    """Without a team sheet there is no debrief, and the message says what to do."""
    add_fixture(space, scenario.fixture(), now)
    said = run(space.folder, "debrief")
    assert said.status == 2
    assert "setpiece sheet import" in said.err


def test_the_pdf_prints_every_letter(space: Workspace, played: Match) -> None:
    """Names with letters from all over Europe come out of the PDF as they went in."""
    say(space, played, frames_of(space, played)[1].id, scenario.KICK_OFF_PLANNED,
        headline="x", description="x")  # fmt: skip
    data = write_debrief(space, played).pdf.read_bytes()
    text = " ".join(p.extract_text() for p in PdfReader(io.BytesIO(data)).pages)
    for name in ("Hlavínová", "Drobčeková", "Żelichowska", "Ørbeck", "Thévenard"):
        assert name in text
