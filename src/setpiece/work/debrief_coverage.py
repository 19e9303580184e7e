"""How much of the shot list the set of a match holds, for the debrief."""

from __future__ import annotations

from setpiece.captions.acts import Acts
from setpiece.captions.reading import Nature
from setpiece.match.people import Role, Side
from setpiece.plan.debrief.facts import CoverageFact
from setpiece.plan.shotlist import Pictured, balance, coverage, covered
from setpiece.plan.templates import template
from setpiece.store.frames import Decision
from setpiece.work.find_rows import is_upright
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_acts


def coverage_fact(day: Matchday) -> CoverageFact:
    """The set held against the shot list, and who started and is in no picture of it."""
    acts = load_acts(day.space.folder)
    used = [i for i, f in day.frames.items() if f.decision is Decision.USE and i in day.captions]
    pictures = [_pictured(day, i, acts) for i in used]
    answers = coverage(template("cup"), pictures)
    done, of = covered(answers)
    lean = balance(pictures)
    seen = {p for picture in pictures for p in picture.persons}
    started = [p for s in Side for p in day.sheet.players(s) if p.starts]
    return CoverageFact(
        done=done,
        of=of,
        missing=tuple(a.shot.title for a in answers if not a.done),
        home=lean.home,
        away=lean.away,
        neither=lean.neither,
        unseen=tuple(p.family_name or p.name for p in started if p.id not in seen),
        started=len(started),
    )


def _pictured(day: Matchday, frame_id: str, acts: Acts) -> Pictured:
    caption = day.captions[frame_id].caption
    reading = caption.reading
    people = [p for p in day.sheet.people if p.id in {f.person for f in caption.facts.people}]
    sides = [p.side for p in reading.people if p.side is not None] if reading else []
    sides = sides or [p.side for p in people if p.side is not None]
    subjects = set(caption.fields.keywords)
    if reading is not None:
        subjects.add(reading.act)
        subjects |= {p.key for p in reading.people if p.nature is Nature.GROUP}
        act = acts.acts.get(reading.act)
        subjects |= {act.shot} if act and act.shot else set()
    label = day.places[frame_id].state.label if frame_id in day.places else None
    roles: frozenset[Role] = frozenset(p.role for p in people)
    return Pictured(
        frame_id,
        frozenset(subjects),
        frozenset(p.id for p in people),
        sides[0] if sides else None,
        label.minute if label else None,
        is_upright(day.metadata[frame_id]),
        roles,
    )
