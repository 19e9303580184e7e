"""Take in: files from cards and folders to the match's folder, each copy proved.

Every file is durable in the workspace before it is counted, so a run may die at any moment: the
next one sweeps what was half written and goes on. Originals are never changed, nothing is
overwritten, and a file that was taken in before is not copied again.
"""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from setpiece.errors import SetpieceError
from setpiece.match.instants import Instant
from setpiece.store.copying import sweep, writing
from setpiece.store.files import StoredFile, files_of, save_waiting
from setpiece.store.frames import frames_of
from setpiece.store.lock import alone
from setpiece.store.matches import Match, match_folder, match_without_fixture, matches
from setpiece.store.workspace import Workspace
from setpiece.work.intake.cards import Cards, Trouble, printable, read_cards, went_away
from setpiece.work.intake.carrying import CardGone, Carried, Carrying, Outcome
from setpiece.work.intake.doubts import doubts_of
from setpiece.work.intake.first_listing import (
    UNFINISHED,
    Listed,
    Listing,
    first_camera_time,
    list_cards,
)
from setpiece.work.intake.grouping import group_frames
from setpiece.work.intake.look import Looking, previews
from setpiece.work.intake.second_copies import (
    CardVerdict,
    CopiesAt,
    copy_further,
    prove_again,
    verdicts,
)
from setpiece.work.intake.shelving import Shelving
from setpiece.work.intake.urgency import EVERYTHING, Wanted, in_order
from setpiece.work.job import Caller, go_on

LOCK = ".taking-in.lock"

_FIRST_GROUP = 16
_GROUP_GROWTH = 4


@dataclass(frozen=True, slots=True)
class TakeReport:
    """What a run of taking in did.

    `known` files were here before; of those `unread` were recognised without reading them.
    `waiting` files are left for a later pass. `left` are files that are no pictures and stay on
    the card. `frames` counts all of the match; `damaged` and `doubts` are of all of them.
    """

    match: str
    copied: int = 0
    known: int = 0
    unread: int = 0
    waiting: int = 0
    size: int = 0
    frames: int = 0
    damaged: tuple[Trouble, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    doubts: tuple[Trouble, ...] = ()
    left: tuple[str, ...] = ()
    copies: tuple[CopiesAt, ...] = ()
    cards: tuple[CardVerdict, ...] = ()
    seconds: float = 0.0


def take_in(
    space: Workspace,
    of: Match | None,
    sources: Sequence[Path],
    caller: Caller,
    *,
    wanted: Wanted = EVERYTHING,
    prove: bool = False,
) -> TakeReport:
    """Copies what `sources` hold into the match, makes frames of it and looks at them.

    Without a match the frames wait in a folder of their day until its fixture is made. Files
    that seem known by folder, name, size and time are not read, except with `prove`, which also
    reads every copy again. Raises NotFound for a source that is not there, Busy while another
    run goes on, NoSpace, ReadOnly or Stopped; whatever was copied until then is kept and
    grouped. A card that goes away is a trouble in the report.
    """
    began = caller.now()
    cards = read_cards(sources)
    target = of or _match_of_day(space, cards, began)
    with writing(space.folder):
        folder = match_folder(space, target)
        previews(space).mkdir(exist_ok=True)
    with alone(space.folder / LOCK, "taking in"):
        return _Taking(space, target, folder, sources, caller, began).run(cards, wanted, prove)


def _match_of_day(space: Workspace, cards: Cards, now: Instant) -> Match:
    """The only fixture whose day the frames are of, else the folder of frames of that day."""
    time = first_camera_time(cards)
    day = time.reading.date() if time else now.date()
    near = [
        m
        for m in matches(space)
        if m.fixture
        and abs(m.fixture.kick_off.astimezone(ZoneInfo(m.fixture.time_zone)).date() - day)
        <= timedelta(days=1)
    ]
    return near[0] if len(near) == 1 else match_without_fixture(space, day.isoformat(), now)


class _Taking:
    """One run."""

    def __init__(
        self,
        space: Workspace,
        of: Match,
        folder: Path,
        sources: Sequence[Path],
        caller: Caller,
        began: Instant,
    ) -> None:
        self.space = space
        self.of = of
        self.folder = folder
        self.sources = sources
        self.caller = caller
        self.began = began
        self.troubles: list[Trouble] = []
        self._grouped = 0
        self._due = _FIRST_GROUP

    def run(self, cards: Cards, wanted: Wanted, prove: bool) -> TakeReport:
        """Lists, copies by urgency, groups and looks as it goes, copies further, reports."""
        sweep(self.folder / "frames")
        sweep(previews(self.space), UNFINISHED)
        known: list[StoredFile] = []
        missed: list[StoredFile] = []
        for stored in files_of(self.space, self.of):
            (known if _is_there(self.folder, stored) else missed).append(stored)
        listing = list_cards(cards, known, previews(self.space), self.caller, prove=prove)
        self.troubles += listing.troubles
        chosen = in_order(self.space, self.of, listing.files, wanted)
        shelf = Shelving(self.space, self.of, self.folder, self.began, known, prove=prove)
        shelf.miss(missed)
        coming = [x for x in chosen if x.known is None]
        for item in listing.files:
            if item.known is not None:
                shelf.recognise(item, item.known)
        self._save_listing(listing, coming)
        shelf.adopt(coming)
        with Looking(self.space, self.of) as looking:
            self._carry(coming, shelf, looking)
            frames = looking.finish(self.caller)
        self.troubles += shelf.troubles
        if prove:
            self.troubles += prove_again(self.space, self.of, shelf.held, self.caller)
        copies: tuple[CopiesAt, ...] = ()
        if wanted.most is None:  # few frames are wanted at once: the next run copies them further
            copies = copy_further(self.space, self.of, self.folder, self.caller)
        return self._report(listing, shelf, copies, frames)

    def _save_listing(self, listing: Listing, coming: Sequence[Listed]) -> None:
        """What is coming, most urgent first, then what a quick pass leaves on the card."""
        chosen = {x.file.path for x in coming}
        later = [x for x in listing.files if x.known is None and x.file.path not in chosen]
        starts = [printable(s) for s in self.sources]
        waiting = [x.waiting for x in (*coming, *later)]
        save_waiting(self.space, self.of, waiting, instead_of=starts)

    def _carry(self, coming: Sequence[Listed], shelf: Shelving, looking: Looking) -> None:
        done = 0
        try:
            with Carrying(coming, self.folder / "frames") as carrying:
                for outcome in carrying.outcomes():
                    go_on(self.caller, f"{shelf.copied} files taken in")
                    if outcome is not None:
                        done += 1
                        self._keep(outcome, shelf)
                        self.caller.progress(done, len(coming), "Taking in")
                    shelf.flush(self.caller.now(), all_of_it=outcome is None)
                    self._group(shelf, looking)
                    looking.keep()
        except BaseException:
            with contextlib.suppress(SetpieceError):  # the first trouble is the one to tell
                shelf.flush(self.caller.now())
                group_frames(self.space, self.of, self.caller.now())
            raise
        shelf.flush(self.caller.now())
        looking.add(group_frames(self.space, self.of, self.caller.now()).changed.items())

    def _keep(self, outcome: Outcome, shelf: Shelving) -> None:
        if isinstance(outcome, Carried):
            shelf.put(outcome)
        elif isinstance(outcome, CardGone):
            self.troubles.append(went_away(outcome.source, outcome.left))
        elif outcome.ends_the_run or not isinstance(outcome.error, SetpieceError):
            raise outcome.error
        else:
            self.troubles.append(Trouble(outcome.listed.file.printable, outcome.error.what))

    def _group(self, shelf: Shelving, looking: Looking) -> None:
        """Makes frames of what came, ever more at a time, so that it costs the same for each."""
        if shelf.noted - self._grouped >= self._due:
            self._grouped = shelf.noted
            self._due = max(_FIRST_GROUP, self._grouped // _GROUP_GROWTH)
            looking.add(group_frames(self.space, self.of, self.caller.now()).changed.items())

    def _report(
        self, listing: Listing, shelf: Shelving, copies: tuple[CopiesAt, ...], frames: int
    ) -> TakeReport:
        damaged = [f for f in frames_of(self.space, self.of) if f.damaged]
        held = {h.listed.file.path for h in shelf.held}
        return TakeReport(
            match=self.of.folder,
            copied=shelf.copied,
            known=len(shelf.held) - shelf.copied,
            unread=sum(1 for h in shelf.held if not h.read_now),
            waiting=sum(1 for x in listing.files if x.file.path not in held),
            size=shelf.size,
            frames=frames,
            damaged=tuple(
                Trouble(f.handle, f"damaged; {f.note}" if f.note else "damaged") for f in damaged
            ),
            troubles=tuple(self.troubles),
            doubts=doubts_of(self.space, self.of),
            left=tuple(f.printable for f in listing.left),
            copies=copies,
            cards=verdicts(
                self.space,
                self.of,
                self.folder,
                self.sources,
                listing,
                shelf.held,
                self.troubles,
            ),
            seconds=(self.caller.now() - self.began).total_seconds(),
        )


def _is_there(folder: Path, stored: StoredFile) -> bool:
    try:
        return (folder / stored.path).stat().st_size == stored.size
    except OSError:
        return False
