"""The first page: the next match with what is missing for it, and the matches covered."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from setpiece.match.instants import Instant
from setpiece.match.state import Phase
from setpiece.store.delivery import State
from setpiece.store.frames import Decision
from setpiece.store.matches import matches, newest_sheet
from setpiece.store.outbox import desks
from setpiece.web.mast import Kits, kits_of, state_now
from setpiece.web.standing import Standing
from setpiece.web.touchline.thumbs import picture_of
from setpiece.web.wording import Wording
from setpiece.work.battery import Power
from setpiece.work.doctor import battery_finding
from setpiece.work.matchday import Matchday


@dataclass(frozen=True, slots=True)
class Card:
    """One match on the first page. `score` is empty before it began."""

    folder: str
    home: str
    away: str
    score: str
    stage: str
    when: str
    where: str
    facts: tuple[str, ...]
    missing: tuple[str, ...]
    kits: Kits | None
    picture: str = ""
    picture_words: str = ""


@dataclass(frozen=True, slots=True)
class Front:
    """The first page: matches under way, to come, covered, and frames without a fixture."""

    under_way: tuple[Card, ...]
    next_matches: tuple[Card, ...]
    covered: tuple[Card, ...]
    waiting: tuple[Card, ...]


def front(standing: Standing, now: Instant, words: Wording, power: Power | None = None) -> Front:
    """The matches of the workspace, the nearest of those to come first."""
    coming: list[tuple[Instant, Card]] = []
    under_way, covered, waiting = [], [], []
    for match in matches(standing.space):
        day = standing.of(match.folder)
        if match.fixture is None:
            waiting.append(_without_fixture(day, words))
            continue
        phase = state_now(day, now).phase
        if phase is Phase.BEFORE and now - match.fixture.kick_off < STALE:
            coming.append((match.fixture.kick_off, _card(day, now, words, power)))
        elif phase in _OVER or phase is Phase.BEFORE:
            covered.append(_card(day, now, words))
        else:
            under_way.append(_card(day, now, words, power))
    coming.sort(key=lambda c: c[0])
    return Front(tuple(under_way), tuple(c for _, c in coming), tuple(covered), tuple(waiting))


STALE = timedelta(hours=12)
"""A match without a kick-off in its log is no longer one to come this long after its time."""

_OVER = (Phase.OVER, Phase.ABANDONED, Phase.FULL_TIME)


def _card(day: Matchday, now: Instant, words: Wording, power: Power | None = None) -> Card:
    fixture, sheet = day.fixture, day.sheet
    phase = state_now(day, now).phase
    picture, picture_words = _lead_picture(day)
    kick_off = words.clock(fixture.kick_off, fixture.time_zone, seconds=False)
    return Card(
        folder=day.match.folder,
        home=sheet.home.name,
        away=sheet.away.name,
        score=str(state_now(day, now).score) if phase is not Phase.BEFORE else "",
        stage=", ".join(p for p in (fixture.competition, fixture.stage) if p),
        when=f"{words.day(fixture.kick_off, fixture.time_zone)}, "
        + words("front.kick-off", time=kick_off),
        where=", ".join(p for p in (fixture.venue, fixture.city) if p),
        facts=_facts(day, words),
        missing=() if phase in _OVER else _missing(day, words, power),
        kits=kits_of(sheet),
        picture=picture,
        picture_words=picture_words,
    )


def _lead_picture(day: Matchday) -> tuple[str, str]:
    """The newest captioned frame of the set, and its headline: what the match is known by."""
    used = [
        i
        for i, f in day.frames.items()
        if f.decision is Decision.USE and i in day.captions and i in day.times
    ]
    if not used:
        return "", ""
    newest = max(used, key=lambda i: day.times[i].middle)
    return picture_of(day, newest, "m"), day.captions[newest].caption.fields.headline


def _facts(day: Matchday, words: Wording) -> tuple[str, ...]:
    used = sum(1 for f in day.frames.values() if f.decision is Decision.USE)
    sent = sum(1 for d in day.outbox if d.state is State.DELIVERED)
    facts = [words.count("front.frames", len(day.frames))]
    if used:
        facts.append(words.count("front.used", used))
    if sent:
        facts.append(words.count("front.delivered", sent))
    return tuple(facts)


def _missing(day: Matchday, words: Wording, power: Power | None) -> tuple[str, ...]:
    missing = []
    if newest_sheet(day.space, day.match) is None:
        missing.append(words("front.no-sheet"))
    if not desks(day.space):
        missing.append(words("front.no-desk"))
    bodies = {f.camera_id for f in day.frames.values()}
    for camera_id, fit in day.fits.items():
        if camera_id in bodies and not fit.fitted:
            missing.append(words("front.no-clock", camera=day.cameras[camera_id].letter))
    if power is not None and power.is_low:
        low = battery_finding(power)
        missing.append(f"{words.told(low.what)}: {words.told(low.words)}.")
    return tuple(missing)


def _without_fixture(day: Matchday, words: Wording) -> Card:
    return Card(
        folder="",
        home=day.match.folder,
        away="",
        score="",
        stage="",
        when="",
        where="",
        facts=(words.count("front.frames", len(day.frames)),),
        missing=(words("front.no-fixture"),),
        kits=None,
    )
