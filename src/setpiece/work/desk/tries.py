"""One try at one delivery: its bytes, its progress, and the state that it ends in."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import xxhash

from setpiece.errors import (
    AskPhotographer,
    OutcomeUnknown,
    SetpieceError,
    Stopped,
    TryAgain,
)
from setpiece.match.instants import Instant
from setpiece.pictures.iptc import write_fields
from setpiece.pictures.kind import PictureKind
from setpiece.pictures.rendition import Edit, Recipe, render
from setpiece.send.sender import Receipt, Sender, deliver_file, discard
from setpiece.store.delivery import Delivery, Event, Kind
from setpiece.store.forms import to_json
from setpiece.store.leases import leftovers
from setpiece.store.matches import Match, match_folder
from setpiece.store.outbox import amend, record
from setpiece.store.workspace import Workspace
from setpiece.work.desk.changed import caption_sent
from setpiece.work.desk.link import DeskLink
from setpiece.work.desk.preparing import stored
from setpiece.work.style_files import load_style

SMALLER_QUALITY = 80
"""JPEG quality of a rendition made smaller for a slow link (common practice)."""


@dataclass(frozen=True, slots=True)
class Ended:
    """How a try ended: the delivery as it is now, trouble in words, the receipt if it arrived.

    `spent` says that the connection must not be used again, `failed` that the link is to blame.
    """

    item: Delivery
    words: str = ""
    receipt: Receipt | None = None
    spent: bool = False
    failed: bool = False


class Try:
    """A delivery under way. `stop` may be called from another thread."""

    def __init__(self, item: Delivery) -> None:
        self.item = item
        self.moved = item.moved_bytes
        self._stop = threading.Event()

    def stop(self) -> None:
        """Asks it to stop at the next byte."""
        self._stop.set()

    def stopped(self) -> bool:
        """Whether it was asked to."""
        return self._stop.is_set()

    def progress(self, done: int) -> None:
        """The bytes that the desk has."""
        self.moved = done


class Tries:
    """Tries deliveries of one match over the links of one desk."""

    def __init__(
        self, space: Workspace, of: Match, link: DeskLink, now: Callable[[], Instant]
    ) -> None:
        self._space = space
        self._of = of
        self._link = link
        self._now = now
        self._folder = match_folder(space, of)

    def run(self, this: Try, sender: Sender) -> Ended:
        """Tries it. Never raises for what a link, a desk or a stop does."""
        item = this.item
        data = self._bytes(item)
        if data is None:
            words = "the file was changed or removed since it was checked"
            return Ended(self._record(item, Event.REFUSE, words=words), words)
        try:
            if item.attempts == 1:
                item, data = self._fitted(item, data)
                this.item = item
            receipt = deliver_file(
                sender,
                data,
                item.remote_folder,
                item.remote_name,
                temporary_name=self._link.desk.address.temporary_name,
                progress=this.progress,
                stopped=this.stopped,
                resume_from_partial=item.settle_first,
            )
        except Stopped:
            return Ended(self._aside(this), spent=True)
        except OutcomeUnknown as error:
            return self._later(this, Event.LAST_BYTE_LOST, error)
        except TryAgain as error:
            return self._later(this, Event.LOST, error)
        except AskPhotographer as error:
            refused = self._record(item, Event.REFUSE, words=str(error))
            return Ended(refused, str(error), spent=True)
        except SetpieceError:
            self._aside(this)
            raise
        ended = self._now().isoformat()
        done = self._record(
            item,
            Event.ARRIVED,
            receipt=to_json(receipt),
            words="",
            ended=ended,
            moved_bytes=item.size,
        )
        return Ended(done, receipt=receipt)

    def not_connected(self, item: Delivery, error: SetpieceError) -> Ended:
        """What becomes of a claimed delivery when no connection can be had: as if never tried."""
        back = self._record(item, Event.LOST, words=str(error), attempts=item.attempts - 1)
        return Ended(back, str(error), spent=True, failed=isinstance(error, TryAgain))

    def clean(self, sender: Sender) -> None:
        """Takes away what withdrawn deliveries left at the desk under temporary names."""
        for item in leftovers(self._space, self._of, self._link.desk.name):
            data = self._bytes(item)
            if data is not None:
                with contextlib.suppress(AskPhotographer):  # it may be gone, or not ours to delete
                    discard(sender, item.remote_folder, data, item.remote_name)
            amend(self._space, item, leftover=False)

    def _bytes(self, item: Delivery) -> bytes | None:
        try:
            data = (self._folder / Path(item.path)).read_bytes()
        except OSError:
            return None
        return data if xxhash.xxh3_128_hexdigest(data) == item.content else None

    def _fitted(self, item: Delivery, data: bytes) -> tuple[Delivery, bytes]:
        """The delivery with a smaller rendition where the link is slower than the desk's limit."""
        settings = self._link.desk.settings
        pace, sent = self._link.pace, caption_sent(item)
        if pace is None or sent is None or item.kind is Kind.KILL:
            return item, data
        if not settings.smaller_below_kbit_s or pace.kbit_s >= settings.smaller_below_kbit_s:
            return item, data
        longest = settings.smaller_long_side_px
        jpeg = render(data, PictureKind.JPEG, Edit(), Recipe(longest, SMALLER_QUALITY))
        style = load_style(self._space.folder, self._link.desk.style)
        picture = write_fields(
            jpeg,
            sent.fields,
            keep=frozenset(style.keep),
            original=data,
            ascii_iim=style.iim_ascii,
        )
        if len(picture) >= len(data):
            return item, data
        made = stored(self._space, self._of, item, picture)
        said = f"Made smaller, {longest} px, because the link carried {pace.kbit_s:.0f} kbit/s"
        note = f"{item.note}. {said}" if item.note else said
        changed = amend(
            self._space, item, content=made.content, path=made.path, size=made.size, note=note
        )
        return changed, picture

    def _later(self, this: Try, event: Event, error: SetpieceError) -> Ended:
        again = self._link.next_try(self._now(), this.item.attempts)
        item = self._record(
            this.item,
            event,
            not_before=again.isoformat(),
            words=str(error),
            moved_bytes=this.moved,
        )
        return Ended(item, str(error), spent=True, failed=True)

    def _aside(self, this: Try) -> Delivery:
        """Back in the outbox with what the desk has of it."""
        return self._record(this.item, Event.LOST, not_before="", moved_bytes=this.moved)

    def _record(self, item: Delivery, event: Event, **columns: object) -> Delivery:
        return record(self._space, item, event, **columns)
