"""Corrections: a changed fact finds what it made wrong, and puts it right at every desk."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from desk_match import at, folder_desk, shoot

from setpiece.match.entries import EntryId, How, Kind, Standing, current
from setpiece.match.instants import Instant
from setpiece.match.people import Side
from setpiece.pictures.iptc import read_fields
from setpiece.store.delivery import Kind as Sent
from setpiece.store.delivery import State
from setpiece.store.matches import Match, add_entries, log_of
from setpiece.store.outbox import deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import retype, write_caption
from setpiece.work.demo import squads
from setpiece.work.desk.correct import send_corrections, wrong_now
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.kill import kill
from setpiece.work.desk.outbox import enter, send_again, withdraw
from setpiece.work.desk.queueing import queue_set
from setpiece.work.job import Unattended
from setpiece.work.matchday import Matchday

FORBIDDEN = re.compile(r"recast|fixes|clarif", re.IGNORECASE)
"""Words a correction never uses (the wire trade's rule)."""


def change_goal(space: Workspace, of: Match, now: Instant, **changed: object) -> None:
    """Corrects the newest goal in the log."""
    log = log_of(space, of)
    goal = [e for e in current(log) if e.kind is Kind.GOAL][-1]
    number = EntryId(len(log) + 1)
    add_entries(
        space,
        of,
        [replace(goal, id=number, supersedes=goal.id, typed=now, **changed)],  # type: ignore[arg-type]
    )


@pytest.fixture
def sent(space: Workspace, played: Match, tmp_path: Path, now: Instant) -> tuple[str, Path, Path]:
    """A frame of the 74th minute's goal, delivered to two desks; with their folders."""
    north = folder_desk(space, tmp_path, "North", now)
    blatt = folder_desk(space, tmp_path, "Blatt", now, style="nordblatt")
    frame = shoot(space, played, 231, at(2, "28:45"))
    write_caption(space, played, frame, "11r celebrates after goal", Unattended(now))
    queue_set(space, played, ["North", "Blatt"], Unattended(now))
    assert send_waiting(space, played, Unattended(now)).delivered == 2
    return frame, north, blatt


def corrected(folder: Path) -> Path:
    """The one file there that is a correction."""
    (found,) = (p for p in folder.iterdir() if "_COR" in p.name)
    return found


def test_a_wrong_scorer_is_found_here_and_at_every_desk(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """Old and new text stand side by side, for the caption and for each desk that has it."""
    assert wrong_now(Matchday(space, played)).at_desks == ()
    change_goal(space, played, now, person=squads.person_id(Side.HOME, 4), how=How.HEADER)
    found = wrong_now(Matchday(space, played))
    assert [w.frame_id for w in found.captions] == [sent[0]]
    assert {w.desk for w in found.at_desks} == {"North", "Blatt"}
    for wrong in (*found.captions, *found.at_desks):
        assert "Ørbeck" in wrong.old
        assert "Ørbeck" not in wrong.new
        assert "Drobčeková" in wrong.new


def test_a_correction_reaches_every_desk_that_has_the_error(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """Each desk gets a new file with edit status, new caption and what was wrong; once."""
    change_goal(space, played, now, person=squads.person_id(Side.HOME, 4), how=How.HEADER)
    report = send_corrections(space, played, Unattended(now))
    assert (report.captions, report.queued, report.left_out) == (1, 2, ())
    assert send_waiting(space, played, Unattended(now)).delivered == 2
    for folder in sent[1:]:
        fields = read_fields(corrected(folder).read_bytes())
        assert fields.edit_status == "CORRECTION"
        assert "Drobčeková" in fields.description
        assert "Ørbeck" in fields.instructions
        assert "Drobčeková" in fields.instructions
        assert not FORBIDDEN.search(fields.instructions)
        assert len(fields.instructions.encode()) <= 256
    english = read_fields(corrected(sent[1]).read_bytes()).instructions
    german = read_fields(corrected(sent[2]).read_bytes()).instructions
    assert english.startswith("RETRANSMISSION TO CORRECT AN ERROR: ")
    assert german.startswith("NEUE ÜBERTRAGUNG, UM EINEN FEHLER ZU BERICHTIGEN: ")
    receipts = [d.receipt for d in deliveries(space, played) if d.kind is Sent.CORRECTION]
    assert all(receipts)
    after = wrong_now(Matchday(space, played))
    assert (after.captions, after.at_desks) == ((), ())
    assert send_corrections(space, played, Unattended(now)).queued == 0


def test_nothing_is_corrected_without_being_asked(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """A changed fact alone sends nothing: neither a run of sending nor sending the set does."""
    change_goal(space, played, now, person=squads.person_id(Side.HOME, 4))
    queue_set(space, played, ["North", "Blatt"], Unattended(now))
    assert send_waiting(space, played, Unattended(now)).delivered == 0
    assert len(list(sent[1].iterdir())) == 1


def test_a_correction_under_way_is_not_queued_twice(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """Asked for again before it went, a correction is not queued a second time."""
    change_goal(space, played, now, person=squads.person_id(Side.HOME, 4))
    assert send_corrections(space, played, Unattended(now)).queued == 2
    assert send_corrections(space, played, Unattended(now)).queued == 0
    assert all(w.on_the_way for w in wrong_now(Matchday(space, played)).at_desks)


def test_a_second_error_in_the_same_picture_gets_a_second_name(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """Corrected twice, a picture has three names at the desk, the last with the facts of now."""
    for person in (4, 6):
        change_goal(space, played, now, person=squads.person_id(Side.HOME, person))
        send_corrections(space, played, Unattended(now), desks=["North"])
        send_waiting(space, played, Unattended(now))
    names = sorted(p.name for p in sent[1].iterdir())
    assert [("_COR1" in n, "_COR2" in n) for n in names] == [
        (False, False),
        (True, False),
        (False, True),
    ]
    assert "Aschauer" in read_fields((sent[1] / names[2]).read_bytes()).description


def test_a_caption_written_anew_corrects_what_was_sent(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """The photographer's own slip is put right the same way, and the instructions name both."""
    write_caption(space, played, sent[0], "9r celebrates after goal", Unattended(now))
    found = wrong_now(Matchday(space, played))
    assert (found.captions, len(found.at_desks)) == ((), 2)
    send_corrections(space, played, Unattended(now), desks=["north"])
    send_waiting(space, played, Unattended(now))
    fields = read_fields(corrected(sent[1]).read_bytes())
    assert "it named Hanna Kolbrand in error; right is Signe Ørbeck." in fields.instructions
    assert len(list(sent[2].iterdir())) == 1


def test_typed_text_waits_for_a_person(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """Text that was typed is not changed by itself: it is a question until it is typed anew."""
    text = Matchday(space, played).captions[sent[0]].caption.fields.description
    retype(space, played, sent[0], Unattended(now), description=text)
    send_corrections(space, played, Unattended(now))
    change_goal(space, played, now, standing=Standing.DISALLOWED)
    found = wrong_now(Matchday(space, played))
    assert all(w.question for w in (*found.captions, *found.at_desks))
    report = send_corrections(space, played, Unattended(now))
    assert (report.queued, {n.desk for n in report.left_out}) == (0, {"North", "Blatt"})


def test_a_picture_straight_from_the_camera_is_corrected_too(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], tmp_path: Path, now: Instant
) -> None:
    """Entered by hand, a desk's picture is found by a changed fact and gets its correction."""
    folder = folder_desk(space, tmp_path, "Club", now)
    enter(space, played, sent[0], "Club", "SP1_0231.JPG", Unattended(now))
    change_goal(space, played, now, person=squads.person_id(Side.HOME, 4))
    send_corrections(space, played, Unattended(now), desks=["Club"])
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    assert read_fields(corrected(folder).read_bytes()).edit_status == "CORRECTION"


def test_a_kill_reaches_every_desk_that_has_the_picture(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """Each desk gets a notice with file, reason and order; the picture never goes again."""
    done = kill(space, played, sent[0], "the person shown asked for it", Unattended(now))
    assert sorted(done.notices) == ["Blatt", "North"]
    assert send_waiting(space, played, Unattended(now)).delivered == 2
    for folder, order in ((sent[1], "Do not use this picture"), (sent[2], "nicht verwenden")):
        (picture,) = folder.glob("*.jpg")
        (notice,) = folder.glob("KILL_*.txt")
        text = notice.read_text("utf-8")
        for words in (picture.name, "the person shown asked for it", order, "Ida Marlow"):
            assert words in text
    assert queue_set(space, played, ["North"], Unattended(now)).queued == 0
    assert kill(space, played, sent[0], "again", Unattended(now)).notices == ()
    change_goal(space, played, now, person=squads.person_id(Side.HOME, 4))
    assert wrong_now(Matchday(space, played)).at_desks == ()


def test_a_kill_withdraws_what_has_not_gone(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """A queued picture that is killed does not go, and nobody needs a notice."""
    folder = folder_desk(space, tmp_path, "North", now)
    frame = shoot(space, played, 5, at(2, "30:00"))
    write_caption(space, played, frame, "5w tackles 9r", Unattended(now))
    queue_set(space, played, ["North"], Unattended(now))
    done = kill(space, played, frame, "a private moment", Unattended(now))
    assert (done.notices, done.withdrawn) == ((), 1)
    assert send_waiting(space, played, Unattended(now)).delivered == 0
    assert list(folder.iterdir()) == []


def test_undo_withdraws_before_the_first_byte_and_offers_a_kill_afterwards(
    space: Workspace, played: Match, sent: tuple[str, Path, Path], now: Instant
) -> None:
    """A queued delivery is withdrawn and can go again; for a delivered one a kill is offered."""
    item = deliveries(space, played)[0]
    with pytest.raises(Exception, match="setpiece kill"):
        withdraw(space, played, item.id)
    again = send_again(space, played, item.id, "the desk has lost it", Unattended(now))
    assert withdraw(space, played, again.id).state is State.WITHDRAWN
    assert send_waiting(space, played, Unattended(now)).delivered == 0
    send_again(space, played, again.id, "they want it after all", Unattended(now))
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    assert len(list(sent[1].iterdir())) + len(list(sent[2].iterdir())) == 3
