"""Taking an act back: what the page keeps of it, and how it is undone."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from setpiece.errors import AskPhotographer
from setpiece.store.captions import TAKEN_BACK, add_caption, caption_version
from setpiece.store.delivery import State
from setpiece.store.frames import Decision, decide
from setpiece.web.batches import Batches
from setpiece.web.standing import Standing
from setpiece.web.touchline.crops import crop_text, edit_of
from setpiece.web.wording import Wording
from setpiece.work.edits import read_box, set_edit
from setpiece.work.job import Caller
from setpiece.work.logbook import withdraw
from setpiece.work.matchday import Matchday


@dataclass(frozen=True, slots=True)
class Undo:
    """How an act is taken back. The page keeps it and sends it back as it was.

    `what` says it in words. `frame`, `decision` and `expects` are for decisions; `version` and
    `expects` for captions, version 0 where there was none before; `crop` and `expects` for
    crops; `entry` for the log; `batch` for what was queued.
    """

    act: Literal["decide", "caption", "log", "queue", "crop", "none"]
    what: str
    frame: str = ""
    decision: str = ""
    expects: str = ""
    version: int = 0
    entry: int = 0
    crop: str = ""
    batch: str = ""


@dataclass(frozen=True, slots=True)
class Back:
    """What taking back did, in words. `doubt` is what could not be taken back any more; `frame`
    is then where to go on, and `offer` the line that does."""

    said: str
    doubt: str = ""
    frame: str = ""
    offer: str = ""


_WITH_IT = frozenset(State) - {State.WITHDRAWN}
"""A delivery in one of these has, or needs, the caption."""


class Undoer:
    """Takes acts back over the matches of a workspace."""

    def __init__(self, standing: Standing, batches: Batches, words: Wording) -> None:
        self.standing = standing
        self.batches = batches
        self.space = standing.space
        self.words = words

    def take_back(self, folder: str, undo: Undo, caller: Caller) -> Back:
        """Takes an act back and says so, unless it was changed since.

        What was sent stays sent: a kill is offered.
        """
        day = self.standing.of(folder)
        if undo.act == "none":
            raise AskPhotographer(self.words("did.cannot-undo", what=undo.what))
        if undo.act == "queue":
            return self._undo_queue(day, undo)
        {
            "decide": self._undo_decision,
            "caption": self._undo_caption,
            "log": lambda d, u, c: withdraw(self.space, d.match, u.entry, c),
            "crop": self._undo_crop,
        }[undo.act](day, undo, caller)
        return Back(self.words("did.undone", what=undo.what))

    def _undo_decision(self, day: Matchday, undo: Undo, caller: Caller) -> None:
        frame = day.frame(undo.frame)
        if frame.decision.value != undo.expects:
            raise AskPhotographer(self.words("did.changed-since"), thing=frame.handle)
        decide(self.space, day.match, frame.id, Decision(undo.decision))

    def _undo_caption(self, day: Matchday, undo: Undo, caller: Caller) -> None:
        frame, known = day.frame(undo.frame), day.captions.get(undo.frame)
        earlier = caption_version(self.space, undo.frame, undo.version)
        first = undo.version == 0
        missing = earlier is None and not first
        if known is None or missing or str(known.version) != undo.expects:
            raise AskPhotographer(self.words("did.changed-since"), thing=frame.handle)
        if first and any(d.frame_id == frame.id and d.state in _WITH_IT for d in day.outbox):
            raise AskPhotographer(self.words("did.caption-queued"), thing=frame.handle)
        text = earlier.caption if earlier else TAKEN_BACK
        add_caption(self.space, day.match, frame.id, text, caller.now())

    def _undo_queue(self, day: Matchday, undo: Undo) -> Back:
        done = self.batches.take_back(undo.batch)
        said = self.words.count("did.unsent", done.withdrawn)
        if not done.gone:
            return Back(said)
        desks = self.words.listed(sorted({d.desk for d in done.gone}))
        doubt = self.words.count("did.gone-out", len(done.gone), desks=desks)
        frame = done.gone[0].frame_id
        return Back(said, doubt, frame if frame in day.frames else "", "kill ")

    def _undo_crop(self, day: Matchday, undo: Undo, caller: Caller) -> None:
        frame = day.frame(undo.frame)
        now = edit_of(day, frame.id)
        if crop_text(now.crop) != undo.expects:
            raise AskPhotographer(self.words("did.changed-since"), thing=frame.handle)
        box = read_box(undo.crop) if undo.crop else None
        set_edit(self.space, day.match, frame.id, replace(now, crop=box), caller)
