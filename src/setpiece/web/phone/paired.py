"""Phones that may log: paired by a code shown on the laptop, each with a token of its own.

Kept in `phones.json` beside the database; of a token only its hash. A phone may read the team
sheet and add to the log, nothing else.
"""

from __future__ import annotations

import hashlib
import json
import secrets
import threading
from dataclasses import asdict, dataclass
from datetime import timedelta
from hmac import compare_digest
from pathlib import Path

from setpiece.errors import BadFile, NotFound, Refused
from setpiece.match.instants import Instant, read_instant
from setpiece.store.copying import write_proved

FILE = "phones.json"
CODE_DIGITS = 6
CODE_LIVES = timedelta(minutes=5)
TRIES = 5
"""A code is spent after so many wrong tries: then another is shown."""

MOST_NAME = 40


@dataclass(frozen=True, slots=True)
class Phone:
    """One paired phone: what it calls itself, the hash of its token, since when."""

    name: str
    token_hash: str
    since: str

    @property
    def id(self) -> str:
        """What the laptop's page calls it."""
        return self.token_hash[:12]


class Phones:
    """The phones of one workspace. Safe to ask from several threads."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / FILE
        self._lock = threading.Lock()
        self._code = ""
        self._until: Instant | None = None
        self._tries = 0

    def all(self) -> tuple[Phone, ...]:
        """Every paired phone, the oldest first. Raises BadFile."""
        if not self._path.is_file():
            return ()
        try:
            return tuple(Phone(**row) for row in json.loads(self._path.read_text("utf-8")))
        except (ValueError, TypeError) as error:
            raise BadFile(
                f"the list of phones cannot be read ({error})",
                thing=str(self._path),
                next_step="Delete it and pair the phones again.",
            ) from error

    def new_code(self, now: Instant) -> str:
        """A code for one phone; the one before is void."""
        with self._lock:
            self._code = "".join(str(secrets.randbelow(10)) for _ in range(CODE_DIGITS))
            self._until = Instant(now + CODE_LIVES)
            self._tries = 0
            return self._code

    def pair(self, code: str, name: str, now: Instant) -> str:
        """The new phone's token. Raises Refused for a code that is wrong, spent or too old."""
        with self._lock:
            self._tries += 1
            good = (
                bool(self._code)
                and self._tries <= TRIES
                and self._until is not None
                and now <= self._until
                and compare_digest(code.encode(), self._code.encode())
            )
            if not good:
                raise Refused(
                    "the code is wrong, used or too old",
                    next_step="Look at the laptop for a new one.",
                )
            self._code = ""
            token = secrets.token_urlsafe(32)
            called = name.strip()[:MOST_NAME] or "phone"
            self._keep((*self.all(), Phone(called, _hash(token), now.isoformat())))
            return token

    def of(self, token: str) -> Phone | None:
        """The phone with that token; None when it was never paired or is revoked."""
        wanted = _hash(token)
        return next((p for p in self.all() if compare_digest(p.token_hash, wanted)), None)

    def revoke(self, phone_id: str) -> Phone:
        """Takes a phone's token away. Raises NotFound."""
        with self._lock:
            known = self.all()
            found = next((p for p in known if p.id == phone_id), None)
            if found is None:
                raise NotFound("there is no such phone", thing=phone_id)
            self._keep(tuple(p for p in known if p is not found))
            return found

    def _keep(self, phones: tuple[Phone, ...]) -> None:
        text = json.dumps([asdict(p) for p in phones], ensure_ascii=False, indent=1)
        write_proved(text.encode(), self._path)


def since(phone: Phone) -> Instant:
    """When it was paired."""
    return read_instant(phone.since)


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
