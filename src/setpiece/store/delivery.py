"""A delivery: one file for one desk, the states it goes through, and what moves it.

    state      event          next         meaning
    queued     claim          sending      a process has the lease and starts
    queued     wait           waiting      `reason` says for what
    waiting    wait           waiting      for something else now
    waiting    release        queued       the reason ended
    sending    lost           queued       before the last byte; tried again later
    sending    last byte lost unknown      the server must be asked
    sending    arrived        delivered    the server stated the size
    sending    refuse         refused      for good; the server's words are kept
    unknown    claim          sending      asks first, then sends only what is missing
    refused    again          queued       the photographer decided so
    withdrawn  again          queued       the photographer decided so
    queued, waiting, refused  withdraw     withdrawn

A `sending` whose lease ran out, or whose process is gone, is claimed like an `unknown`: the
server is asked before a byte is sent. An `unknown` is not withdrawn: it may be at the desk.
Illegal moves raise and change nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from types import MappingProxyType


class State(StrEnum):
    """Where a delivery stands."""

    QUEUED = "queued"
    WAITING = "waiting"
    SENDING = "sending"
    UNKNOWN = "unknown"
    DELIVERED = "delivered"
    REFUSED = "refused"
    WITHDRAWN = "withdrawn"


class Event(StrEnum):
    """What happens to a delivery."""

    CLAIM = "claim"
    WAIT = "wait"
    RELEASE = "release"
    LOST = "lost"
    LAST_BYTE_LOST = "last byte lost"
    ARRIVED = "arrived"
    REFUSE = "refuse"
    AGAIN = "again"
    WITHDRAW = "withdraw"


MOVES: MappingProxyType[State, MappingProxyType[Event, State]] = MappingProxyType(
    {
        State.QUEUED: MappingProxyType(
            {
                Event.CLAIM: State.SENDING,
                Event.WAIT: State.WAITING,
                Event.WITHDRAW: State.WITHDRAWN,
            }
        ),
        State.WAITING: MappingProxyType(
            {
                Event.WAIT: State.WAITING,
                Event.RELEASE: State.QUEUED,
                Event.WITHDRAW: State.WITHDRAWN,
            }
        ),
        State.SENDING: MappingProxyType(
            {
                Event.CLAIM: State.SENDING,  # only when its lease is free
                Event.LOST: State.QUEUED,
                Event.LAST_BYTE_LOST: State.UNKNOWN,
                Event.ARRIVED: State.DELIVERED,
                Event.REFUSE: State.REFUSED,
            }
        ),
        State.UNKNOWN: MappingProxyType({Event.CLAIM: State.SENDING}),
        State.REFUSED: MappingProxyType(
            {Event.AGAIN: State.QUEUED, Event.WITHDRAW: State.WITHDRAWN}
        ),
        State.WITHDRAWN: MappingProxyType({Event.AGAIN: State.QUEUED}),
        State.DELIVERED: MappingProxyType({}),
    }
)

TO_GO = (State.QUEUED, State.SENDING, State.UNKNOWN)
"""States that end by themselves as soon as the link allows."""


class Kind(StrEnum):
    """What is delivered."""

    PICTURE = "picture"
    CORRECTION = "correction"  # a picture again, its caption put right
    KILL = "kill"  # a notice: text that says which picture must not be used


class Reason(StrEnum):
    """What a waiting delivery waits for."""

    CHECK = "check"  # an error or a doubt in its caption
    CARE = "care"  # people to protect: a person decides
    REVIEW = "review"  # its goal is under review
    DECISION = "decision"  # its frame is on hold or spiked
    EMBARGO = "embargo"
    QUOTA = "quota"


class Urgency(IntEnum):
    """What goes before what, whatever it is worth. Truth first: what is wrong is put right."""

    KILL = 0
    CORRECTION = 1
    FIRST = 2  # a request, or the goal
    ORDINARY = 3


@dataclass(frozen=True, slots=True)
class Delivery:
    """One file for one desk. `path` is relative to the match's folder, "" while there is none.

    `made_from` tells everything the rendition is made from, so that the same picture is queued
    once; `content` is the rendition's own hash. `period` is the frame's, None outside play;
    `happened` when what it shows happened and `weight` what it is worth fresh. `caption` is the
    document of the captions room as it goes to this desk; `looked` the newest piece of news it
    was held against, None for what rests on no facts. `corrects` is the delivery that a
    correction or a kill is about. `moved_bytes` are those the desk has for all we know;
    `leftover` says that a withdrawn one left a part there. `words` are the server's, `note`
    ours.
    """

    id: int
    match_id: int
    frame_id: str
    caption_version: int
    desk: str
    made_from: str
    content: str
    path: str
    remote_folder: str
    remote_name: str
    size: int
    state: State
    queued: str
    kind: Kind = Kind.PICTURE
    urgency: int = Urgency.ORDINARY
    reason: str = ""
    period: int | None = None
    happened: str = ""
    weight: float = 1.0
    caption: str = ""
    looked: int | None = None
    corrects: int | None = None
    request_id: int | None = None
    not_before: str = ""
    attempts: int = 0
    leased_by: str = ""
    leased_until: str = ""
    moved_bytes: int = 0
    leftover: bool = False
    words: str = ""
    note: str = ""
    receipt: str | None = None
    ended: str = ""

    @property
    def settle_first(self) -> bool:
        """Whether an earlier try may have arrived."""
        return self.attempts > 1
