"""The debrief: one page about a match for the photographer alone, as HTML and as PDF."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from setpiece.plan.debrief.debrief import Debrief, debrief
from setpiece.plan.debrief.page import debrief_html
from setpiece.store.copying import write_proved
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.debrief.facts import facts_of
from setpiece.work.debrief.pdf import debrief_pdf
from setpiece.work.matchday import Matchday

HTML, PDF = "debrief/debrief.html", "debrief/debrief.pdf"


@dataclass(frozen=True, slots=True)
class Written:
    """A debrief that was written, and where."""

    debrief: Debrief
    html: Path
    pdf: Path


def work_out(day: Matchday) -> Debrief:
    """The debrief of a match as it stands. Raises WrongUse or NotFound without fixture or sheet."""
    return debrief(facts_of(day))


def write_debrief(space: Workspace, of: Match) -> Written:
    """Writes both into the match's folder, in place of earlier ones."""
    day = Matchday(space, of)
    made = work_out(day)
    folder = match_folder(space, of)
    html = write_proved(debrief_html(made).encode(), folder / HTML)
    pdf = write_proved(debrief_pdf(made, day.fixture.kick_off), folder / PDF)
    return Written(made, html, pdf)
