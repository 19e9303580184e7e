"""Two frames that turn out to be one: nothing that was said of either is lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

import pytest

from setpiece.books.cuttings import Publication, State
from setpiece.books.entries import Licence, Use
from setpiece.frames.camera_clock import card_pair
from setpiece.frames.passages import Joined, Pinned, Split
from setpiece.match.entries import Entry, EntryId, Kind
from setpiece.match.instants import CameraTime, Instant, Interval
from setpiece.store.books import add_entries as add_to_ledger
from setpiece.store.books import entries_of
from setpiece.store.captions import (
    add_caption,
    add_overrule,
    caption_version,
    captions_of,
    overruled,
)
from setpiece.store.cuttings import StoredCutting, cuttings_of, put_cutting
from setpiece.store.frames import (
    Decision,
    FrameDraft,
    add_pair,
    camera_for,
    decide,
    frames_of,
    pairs_of,
    save_frames,
    type_time,
)
from setpiece.store.handling import Handling, handlings, save_handling
from setpiece.store.matches import Match, add_entries, log_of
from setpiece.store.passages import add_pin, pins_of
from setpiece.store.workspace import Workspace

OLD, NEW = "f0000000000aa", "f0000000000bb"
TIME = CameraTime(datetime(2027, 3, 6, 15, 31))


@pytest.fixture
def draft(space: Workspace, match: Match, now: Instant) -> FrameDraft:
    """Two frames of one body; the draft says that they are one."""
    body = camera_for(space, "Alder", "One", "1").id
    new = FrameDraft(
        NEW, "A-0001", body, TIME, 1, "{}", "frames/a.JPG", False, False, "", ("c" * 32,)
    )
    save_frames(space, match, [new, replace(new, id=OLD, handle="A-?")], now)
    return replace(new, former_ids=(OLD,))


def test_everything_said_of_the_former_frame_is_said_of_the_other(
    space: Workspace, match: Match, draft: FrameDraft, now: Instant
) -> None:
    """Decision, typed time, caption, overrule, edit and terms, clock pair, the log's pin, passages
    made by hand, the ledger's uses and licences, and what was found in a cutting go with it."""
    add_caption(space, match, OLD, "{}", now)
    add_overrule(space, match, OLD, 1, "no-name", "seen", now)
    decide(space, match, OLD, Decision.HOLD)
    at = Interval.exactly(now)
    type_time(space, match, OLD, at)
    save_handling(space, match, OLD, now, edit='{"crop": 1}', terms='{"only": "City"}')
    add_pair(space, match, draft.camera_id or 0, card_pair(TIME, now, "card"), now, frame_id=OLD)
    add_entries(space, match, [Entry(EntryId(0), Kind.NOTE, now, at, note="x", frame=OLD)])
    said = (Split(OLD), Joined((OLD, "f1")), Pinned("p0000000000aa", ("f2", OLD)))
    for pin in said:
        add_pin(space, match, pin, now)
    today = date(2027, 3, 8)
    add_to_ledger(
        space,
        [
            (today, "City", Use(OLD, match.folder, "City Daily")),
            (today, "", Licence((OLD, "f1"), "City Daily", "sport", today)),
        ],
        now,
    )
    found = StoredCutting(
        0,
        "c",
        0,
        "page.jpg",
        "cuttings/page.jpg",
        State.OPEN,
        Publication(),
        f'{{"name": "{OLD}"}}',
    )
    put_cutting(space, found, now)

    save_frames(space, match, [draft], now)

    (frame,) = frames_of(space, match)
    assert (frame.id, frame.decision, frame.typed_time) == (NEW, Decision.HOLD, at)
    assert set(captions_of(space, match)) == {NEW}
    assert set(overruled(space, match)) == {(NEW, 1)}
    assert handlings(space, match) == {NEW: Handling('{"crop": 1}', '{"only": "City"}')}
    assert len(pairs_of(space, match)[draft.camera_id or 0]) == 1
    assert [e.frame for e in log_of(space, match)] == [NEW]
    wanted = (Split(NEW), Joined((NEW, "f1")), Pinned("p0000000000aa", ("f2", NEW)))
    assert pins_of(space, match) == wanted
    use, licence = (e.content for e in entries_of(space))
    assert isinstance(use, Use)
    assert isinstance(licence, Licence)
    assert (use.frame, licence.frames) == (NEW, (NEW, "f1"))
    assert [c.found for c in cuttings_of(space)] == [f'{{"name": "{NEW}"}}']


def test_what_was_said_of_the_frame_itself_stays(
    space: Workspace, match: Match, draft: FrameDraft, now: Instant
) -> None:
    """Where something was said of both, the frame that stays keeps its own, and the other's
    captions come after it; an edit and terms each come from where they were said."""
    for frame, words, decision in ((NEW, "first", Decision.USE), (OLD, "second", Decision.SPIKE)):
        add_caption(space, match, frame, f'"{words}"', now)
        decide(space, match, frame, decision)
    save_handling(space, match, NEW, now, edit='{"crop": 2}')
    save_handling(space, match, OLD, now, edit='{"crop": 1}', terms='{"only": "City"}')

    save_frames(space, match, [draft], now)

    (frame,) = frames_of(space, match)
    assert frame.decision is Decision.USE
    kept = [caption_version(space, NEW, version) for version in (1, 2)]
    assert [k and k.caption for k in kept] == ['"first"', '"second"']
    assert handlings(space, match) == {NEW: Handling('{"crop": 2}', '{"only": "City"}')}


def test_a_frame_that_is_not_there_is_passed_over(
    space: Workspace, match: Match, draft: FrameDraft, now: Instant
) -> None:
    """A former id that no frame has changes nothing; so a second saving is as the first."""
    save_frames(space, match, [draft], now)
    before = frames_of(space, match)
    save_frames(space, match, [draft], now)
    assert frames_of(space, match) == before
