"""The margin of the report: what must be put right, the set, what was sent."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from setpiece.captions.changes import ChangedFact
from setpiece.match.instants import Instant
from setpiece.plan.shotlist import Reminder
from setpiece.send.sender import Receipt
from setpiece.store.delivery import Delivery, State
from setpiece.store.forms import from_json
from setpiece.store.frames import Decision
from setpiece.web.before.wants import shot_words, with_story
from setpiece.web.touchline.checked import findings_of
from setpiece.web.touchline.ringing import open_requests
from setpiece.web.wording import Wording
from setpiece.work.before.wants import still_wanted
from setpiece.work.desk.correct import Wrong
from setpiece.work.desk.request import Request, fitting
from setpiece.work.intake.cards import Trouble
from setpiece.work.intake.doubts import doubts_in
from setpiece.work.matchday import Matchday

MOST_LINES = 12
"""So many lines of a list stand in the margin; the rest is counted."""

MOST_WANTED = 6
"""So many of what is still wanted, the nearest first."""


@dataclass(frozen=True, slots=True)
class Note:
    """One line of the margin. `frame_id` is the frame it leads to, empty for none.
    `more` says below it what may be typed.

    `tone` is right, doubt, wrong or empty; it always stands beside words.
    """

    text: str
    aside: str = ""
    frame_id: str = ""
    tone: str = ""
    more: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """A titled part of the margin; `count` stands at its title's right."""

    key: str
    title: str
    count: str
    notes: tuple[Note, ...]
    rest: str = ""
    empty: str = ""


def margin(day: Matchday, wrong: Sequence[Wrong], now: Instant, words: Wording) -> tuple[Part, ...]:
    """The parts of the margin that have something to say: who asks, what must be put right.

    `wrong` are the pictures at desks that a changed fact has made wrong; what is still wanted is
    what can be got from `now` on.
    """
    asked = [_asked(day, request, words) for request in open_requests(day)]
    notes = [*_wrong_there(day, wrong, words), *put_right(day, words)]
    parts = [_part("asks", asked, words)] if asked else []
    if notes:
        parts.append(_part("put-right", notes, words))
    return (*parts, *_wanted(day, now, words), _set(day, words), _sent(day, words))


def _wanted(day: Matchday, now: Instant, words: Wording) -> tuple[Part, ...]:
    """What the shot list still wants, and whom nobody has photographed lately."""
    wanted = still_wanted(day, now)
    done, total = wanted.done
    notes = [_not_seen(r, words) for r in wanted.reminders]
    for answer in wanted.missing:
        at_hand = wanted.at_hand.get(answer.shot.key, ())
        told = words.count("margin.at-hand", len(at_hand)) if at_hand else ""
        frame_id = at_hand[0] if at_hand else ""
        notes.append(Note(shot_words(answer.shot, words), answer.shot.who, frame_id, more=told))
    if not notes:
        return ()
    part = _part("wanted", notes, words, most=MOST_WANTED)
    return (replace(part, count=words("margin.done-of", done=done, total=total)),)


def _not_seen(reminder: Reminder, words: Wording) -> Note:
    key = "margin.never-seen" if reminder.never else "margin.not-seen"
    who = with_story(reminder.title, reminder.about, words)
    return Note(who, words(key, n=reminder.minutes), tone="doubt")


def _asked(day: Matchday, request: Request, words: Wording) -> Note:
    """What a desk rings for, by when, and what fits."""
    fits = fitting(day, request)
    by = request.wanted.by
    until = words.clock(by, day.fixture.time_zone, seconds=False) if by else ""
    return Note(
        words("margin.asked", desk=request.desk, words=request.words),
        until,
        fits[0].frame_id if fits else "",
        more=words.count("margin.fit", len(fits)),
    )


def _wrong_there(day: Matchday, wrong: Sequence[Wrong], words: Wording) -> list[Note]:
    """Pictures at desks that are wrong now, one line a picture."""
    of_frame: dict[str, list[Wrong]] = defaultdict(list)
    for item in wrong:
        of_frame[item.frame_id].append(item)
    notes = []
    for frame_id, items in of_frame.items():
        facts = "; ".join(_fact(f, words) for f in items[0].facts) or items[0].question
        have = words.count("margin.have-it", len(items), desk=items[0].desk)
        said = f"{title_of(day, frame_id)}: {facts}" if facts else title_of(day, frame_id)
        notes.append(Note(said, have, frame_id, "wrong", words("margin.correct")))
    return notes


def _fact(fact: ChangedFact, words: Wording) -> str:
    if fact.old and fact.new:
        return words("margin.changed", old=fact.old, new=fact.new)
    return words("margin.now" if fact.new else "margin.was", what=fact.new or fact.old)


def put_right(day: Matchday, words: Wording) -> list[Note]:
    """What a person must put right before it goes out, or after it went out wrong."""
    notes = _wrong_captions(day, words)
    notes += [
        Note(title_of(day, d.frame_id), words(f"margin.{d.state.value}", desk=d.desk), d.frame_id,
             "wrong" if d.state is State.REFUSED else "doubt")
        for d in day.outbox
        if d.state in (State.REFUSED, State.UNKNOWN)
    ]  # fmt: skip
    bare = [
        i for i, f in day.frames.items() if f.decision is Decision.USE and i not in day.captions
    ]
    if bare:
        notes.append(Note(words.count("margin.no-caption", len(bare)), "", bare[0], "doubt"))
    for camera_id, fit in day.fits.items():
        camera = day.cameras.get(camera_id)
        if camera and not fit.fitted and any(f.camera_id == camera_id for f in day.frames.values()):
            why = words("margin.clock-unfitted")
            notes.append(Note(words("margin.clock", letter=camera.letter, why=why), tone="doubt"))
    damaged = [i for i, f in day.frames.items() if f.damaged]
    if damaged:
        notes.append(Note(words.count("margin.damaged", len(damaged)), "", damaged[0], "doubt"))
    notes += [Note(f"{d.path}: {words.told(d.what)}", tone="doubt") for d in doubts_kept(day)]
    timeless = [i for i in day.frames if i not in day.times]
    if timeless:
        notes.append(Note(words.count("margin.no-time", len(timeless)), "", timeless[0], "doubt"))
    return notes


DOUBTS = "doubts_kept"
"""The name under which doubts about frames are kept with a view of a match."""


def doubts_kept(day: Matchday) -> tuple[Trouble, ...]:
    """Settings and dates of cameras that may be a mistake, looked for once for each view."""
    kept: dict[str, tuple[Trouble, ...]] = vars(day)
    if DOUBTS not in kept:
        kept[DOUBTS] = doubts_in(day)
    return kept[DOUBTS]


def _wrong_captions(day: Matchday, words: Wording) -> list[Note]:
    """The errors of the check; one that many captions share stands once, with their number."""
    found: dict[str, list[str]] = {}
    for i in day.captions:
        if i in day.frames and day.frames[i].decision is not Decision.SPIKE:
            for text in dict.fromkeys(
                f.text for f in findings_of(day, i, words) if f.tone == "wrong"
            ):
                found.setdefault(text, []).append(i)
    return [
        Note(
            text,
            _minute(day, ids[0]) if len(ids) == 1 else words.count("margin.frames", len(ids)),
            ids[0],
            "wrong",
        )
        for text, ids in found.items()
    ]


def _set(day: Matchday, words: Wording) -> Part:
    used = [i for i, f in day.frames.items() if f.decision is Decision.USE]
    used.sort(
        key=lambda i: (
            i not in day.times,
            day.times[i].middle.timestamp() if i in day.times else 0.0,
        )
    )
    notes = [Note(title_of(day, i), _minute(day, i), i) for i in reversed(used)]
    return _part("set", notes, words, empty=words("margin.empty-set"))


def _sent(day: Matchday, words: Wording) -> Part:
    of_frame: dict[str, list[Delivery]] = defaultdict(list)
    for delivery in day.outbox:
        if delivery.state is not State.WITHDRAWN:
            of_frame[delivery.frame_id].append(delivery)
    notes = [
        Note(title_of(day, i), _how_far(of_frame[i], words), i, _tone(of_frame[i]))
        for i in reversed(of_frame)
    ]
    return _part("sent", notes, words, empty=words("margin.nothing-sent"))


def _how_far(sent: list[Delivery], words: Wording) -> str:
    arrived = [d for d in sent if d.state is State.DELIVERED]
    if len(arrived) == len(sent):
        where = words.count("margin.desks", len(arrived), desk=arrived[0].desk)
        took = max((r.seconds for d in arrived if (r := receipt_of(d))), default=0.0)
        return f"{where}, {words('delay.seconds', n=f'{took:.0f}')}" if took >= 1 else where
    told = dict.fromkeys(state_words(d, words) for d in sent if d.state is not State.DELIVERED)
    return ", ".join(told)


def state_words(delivery: Delivery, words: Wording) -> str:
    """Where a delivery stands: how much is sent, or what it waits for, where that is known."""
    if delivery.state is State.SENDING and delivery.size:
        return words("state.sent-share", share=f"{delivery.moved_bytes / delivery.size:.0%}")
    if delivery.state is State.WAITING and words.known(f"reason.{delivery.reason}"):
        return words("state.waiting-for", reason=words(f"reason.{delivery.reason}"))
    return words(f"state.{delivery.state.value}")


def _tone(sent: list[Delivery]) -> str:
    states = {d.state for d in sent}
    if State.REFUSED in states:
        return "wrong"
    if State.UNKNOWN in states:
        return "doubt"
    return "right" if states == {State.DELIVERED} else ""


def receipt_of(delivery: Delivery) -> Receipt | None:
    """The receipt of a delivery, None before it arrived."""
    return from_json(Receipt, delivery.receipt) if delivery.receipt else None


def title_of(day: Matchday, frame_id: str) -> str:
    """What a frame is called in a list: its headline without the clubs, else its handle."""
    known = day.captions.get(frame_id)
    if known and known.caption.fields.headline:
        head, _, tail = known.caption.fields.headline.partition(": ")
        clubs = (day.sheet.home, day.sheet.away)
        both = all(c.name in tail or c.short_name in tail for c in clubs)
        return head if tail and both else known.caption.fields.headline
    frame = day.frames.get(frame_id)
    return frame.handle if frame else frame_id


def _minute(day: Matchday, frame_id: str) -> str:
    place = day.places.get(frame_id)
    return f"{place.state.label}'" if place and place.state.label else ""


def _part(
    key: str, notes: list[Note], words: Wording, empty: str = "", most: int = MOST_LINES
) -> Part:
    rest = len(notes) - most
    return Part(
        key=key,
        title=words(f"margin.{key}"),
        count=str(len(notes)) if notes else "",
        notes=tuple(notes[:most]),
        rest=words.count("margin.more", rest) if rest > 0 else "",
        empty=empty,
    )
