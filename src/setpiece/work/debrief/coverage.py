"""How much of the shot list the set of a match holds, for the debrief."""

from __future__ import annotations

from setpiece.match.people import Side
from setpiece.plan.debrief.facts import CoverageFact
from setpiece.plan.debrief.words import family_name
from setpiece.plan.shotlist import Answer
from setpiece.store.frames import Decision
from setpiece.work.before.wants import still_wanted
from setpiece.work.matchday import Matchday


def coverage_fact(day: Matchday) -> CoverageFact:
    """The set held against the shot list after the match, and who started and is in no picture."""
    last = max((day.fold.when(e).end for e in day.fold.entries), default=day.fixture.kick_off)
    wanted = still_wanted(day, last)
    done, of = wanted.done
    used = (i for i, f in day.frames.items() if f.decision is Decision.USE and i in day.captions)
    seen = {fact.person for i in used for fact in day.captions[i].caption.facts.people}
    started = [p for s in Side for p in day.sheet.players(s) if p.starts]
    return CoverageFact(
        done=done,
        of=of,
        missing=tuple(_words(a) for a in wanted.missing if not _single(a)),
        wants=tuple(_words(a) for a in wanted.missing if _single(a)),
        home=wanted.balance.home,
        away=wanted.balance.away,
        neither=wanted.balance.neither,
        unseen=tuple(family_name(day.sheet, p.id) for p in started if p.id not in seen),
        started=len(started),
    )


def _single(answer: Answer) -> bool:
    """Whether somebody asked for it by name: a person, or a desk's own want."""
    return answer.shot.person is not None or bool(answer.shot.who)


def _words(answer: Answer) -> str:
    desk = f" (for {answer.shot.who})" if answer.shot.who else ""
    return f"{answer.shot.title}{desk}"
