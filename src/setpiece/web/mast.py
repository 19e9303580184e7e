"""The masthead of a match: the score, the kits, and where the match stands now."""

from __future__ import annotations

import re
from dataclasses import dataclass

from setpiece.match.instants import Instant, write_instant
from setpiece.match.people import Side, TeamSheet
from setpiece.match.state import Phase, State
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


@dataclass(frozen=True, slots=True)
class Kits:
    """The colours of both sides as `#rrggbb`; empty where the sheet gives none."""

    home: str
    away: str
    home_word: str
    away_word: str


@dataclass(frozen=True, slots=True)
class Mast:
    """What stands above the report. `at` and `elapsed_s` let the page's own clock run on.

    `figure` is the minute, or a word where none runs; `zone` is the
    venue's, by its IANA name.
    """

    folder: str
    home: str
    away: str
    score: str
    shoot_out: str
    kits: Kits
    figure: str
    standing: str
    period: str
    elapsed_s: float | None
    at: str
    time: str
    zone: str
    title: str
    day: str
    folio: str


def mast(day: Matchday, now: Instant, words: Wording) -> Mast:
    """The masthead at that instant."""
    state = state_now(day, now)
    home, away = (day.sheet.side(s).short_name or day.sheet.side(s).name for s in Side)
    zone = day.fixture.time_zone
    return Mast(
        folder=day.match.folder,
        home=home,
        away=away,
        score=str(state.score) if state.phase is not Phase.BEFORE else "–",
        shoot_out=str(state.shoot_out) if state.shoot_out else "",
        kits=kits_of(day.sheet),
        figure=f"{state.label}'" if state.label else "",
        standing=_standing(day, state, words),
        period=phase_words(state.phase, words) if state.elapsed_s is not None else "",
        elapsed_s=state.elapsed_s,
        at=write_instant(now),
        time=words.clock(now, zone),
        zone=zone,
        title=words("report.title", home=home, away=away, score=state.score),
        day=words.day(day.fixture.kick_off, zone),
        folio=folio(day),
    )


def state_now(day: Matchday, now: Instant) -> State:
    """The match as it stands; where the log runs ahead of the clock, after all that is logged."""
    ahead = any(day.fold.when(e).start > now for e in day.fold.entries)
    return day.fold.last() if ahead else day.fold.state_at(now)


def folio(day: Matchday) -> str:
    """The line above the masthead: competition, stage and ground."""
    fixture = day.fixture
    event = ", ".join(p for p in (fixture.competition, fixture.stage) if p)
    ground = ", ".join(p for p in (fixture.venue, fixture.city) if p)
    return " – ".join(p for p in (event, ground) if p)


def phase_words(phase: Phase, words: Wording) -> str:
    """The phase as the page calls it."""
    return words(f"phase.{phase.name.lower().replace('_', '-')}")


def _standing(day: Matchday, state: State, words: Wording) -> str:
    if state.elapsed_s is not None:
        minutes, seconds = divmod(int(state.elapsed_s), 60)
        return words(
            "clock.running",
            elapsed=f"{minutes:02d}:{seconds:02d}",
            period=phase_words(state.phase, words),
        )
    if state.phase is Phase.BEFORE:
        time = words.clock(day.fixture.kick_off, day.fixture.time_zone, seconds=False)
        return words("clock.to-kick-off", time=time)
    return phase_words(state.phase, words)


def kits_of(sheet: TeamSheet) -> Kits:
    """The outfield kits of both sides."""
    colours = {}
    for side in Side:
        kit = next((k for k in sheet.side(side).kits if not k.goalkeeper), None)
        colours[side] = (safe_colour(kit.hex_colour) if kit else "", kit.colour if kit else "")
    return Kits(colours[Side.HOME][0], colours[Side.AWAY][0],
                colours[Side.HOME][1], colours[Side.AWAY][1])  # fmt: skip


def kits_css(sheet: TeamSheet) -> str:
    """The kits' colours as a style sheet: the sides', and each letter's shirt."""
    kits = kits_of(sheet)
    sides = "".join(f"--kit-{s}:{c};" for s, c in (("home", kits.home), ("away", kits.away)) if c)
    rules = [f":root{{{sides}}}"]
    for kit in (*sheet.home.kits, *sheet.away.kits, *sheet.officials_kits):
        colour = safe_colour(kit.hex_colour)
        if colour and kit.letter.isascii():
            rules.append(f'.shirt[data-kit="{kit.letter}"]{{fill:{colour}}}')
    return "\n".join(rules) + "\n"


def safe_colour(text: str) -> str:
    """The text where it is a colour as `#rrggbb`, else empty: it goes into a style sheet."""
    return text.lower() if _COLOUR.fullmatch(text) else ""
