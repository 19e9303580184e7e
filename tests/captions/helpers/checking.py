"""Shortest ways to ask the check in the cup tie."""

from __future__ import annotations

from dataclasses import replace

from cup_tie import CupTie, second

from setpiece.captions.check import check
from setpiece.captions.findings import Finding, Level
from setpiece.captions.typed_over import typed_over
from setpiece.match.instants import Instant

JOY = second(73, 50)
EVENT = (
    "during the Aldbrook Bank Women's Cup semi-final match between Hallern FC and Whitmoor Rovers "
    "at Kiln Lane, Hallern, on Saturday, 6 March 2027."
)


def codes(found: tuple[Finding, ...], level: Level | None = None) -> set[str]:
    """The codes of the findings, of one level or all."""
    return {f.code for f in found if level in (None, f.level)}


def typed(tie: CupTie, text: str, at: Instant, style: str = "north") -> tuple[Finding, ...]:
    """What the check finds in a description typed by hand."""
    caption = tie.compose("r coach reacts", at, style)
    situation = tie.situation(at)
    values = replace(caption.fields, description=text, headline="")
    over = typed_over(caption, values, situation, tie.style(style), tie.acts)
    without = replace(tie.style(style), required=())
    return check(over, situation, without, tie.acts)
