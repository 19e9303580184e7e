"""The terms of a picture: who may have it, under what credit, from when, or nobody at all."""

from __future__ import annotations

from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from setpiece.captions.fields import PictureFields
from setpiece.errors import WrongUse
from setpiece.match.instants import Instant
from setpiece.store.forms import from_json, to_json
from setpiece.store.handling import handlings, save_handling
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.desk.desks import desk_named
from setpiece.work.desk.words import words_for
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday


@dataclass(frozen=True, slots=True)
class PictureTerms:
    """What binds one picture.

    `exclusive_to` is the one desk that may have it; `desks` those that may, empty for all. A
    `pool` picture is for everybody. `usage_terms` and `credit` stand in place of the house
    style's. `job_id` is the desk's own number for the order. `killed` is the reason why nobody
    may use it any more.
    """

    exclusive_to: str = ""
    pool: bool = False
    desks: tuple[str, ...] = ()
    usage_terms: str = ""
    credit: str = ""
    job_id: str = ""
    embargo_until: Instant | None = None
    killed: str = ""

    def __post_init__(self) -> None:
        if self.pool and (self.exclusive_to or self.desks):
            raise WrongUse(
                "a pool picture is for every desk",
                thing=self.exclusive_to or ", ".join(self.desks),
                next_step="Take the pool or the desks away.",
            )
        if self.exclusive_to and self.desks and self.desks != (self.exclusive_to,):
            raise WrongUse(
                "an exclusive goes to one desk alone",
                thing=self.exclusive_to,
                next_step="Take the other desks away.",
            )

    def only_for(self, desk: str) -> str:
        """The desks this picture is for where this desk is none of them, else ""."""
        if self.exclusive_to and self.exclusive_to != desk:
            return self.exclusive_to
        if self.desks and desk not in self.desks:
            return ", ".join(self.desks)
        return ""

    def dressed(
        self, fields: PictureFields, language: str, until: Instant | None, zone: str
    ) -> PictureFields:
        """The fields with this picture's own credit, terms, job and pool mark.

        `until` is when its embargo ends, told in the venue's `zone`.
        """
        words, said = words_for(language), [fields.instructions]
        if until is not None:
            local = until.astimezone(ZoneInfo(zone))
            said.append(words["embargo"].format(time=f"{local:%Y-%m-%d %H:%M} {zone}"))
        said.append(words["pool"] if self.pool else "")
        return replace(
            fields,
            credit=self.credit or fields.credit,
            usage_terms=self.usage_terms or fields.usage_terms,
            job_id=self.job_id or fields.job_id,
            instructions=" ".join(text for text in said if text),
        )


FREE = PictureTerms()


def terms_of(space: Workspace, of: Match) -> dict[str, PictureTerms]:
    """The terms of the frames of a match, by frame id; a missing one is free."""
    found = {i: from_json(PictureTerms, h.terms) for i, h in handlings(space, of).items()}
    return {i: terms for i, terms in found.items() if terms != FREE}


def set_terms(
    space: Workspace, of: Match, frame_name: str, caller: Caller, **changed: object
) -> PictureTerms:
    """Changes the terms of a frame. Raises NotFound for a desk that is not there, WrongUse."""
    frame = Matchday(space, of).frame(frame_name)
    names = changed.get("desks", ()) or ()
    if isinstance(names, tuple):
        changed["desks"] = tuple(desk_named(space, str(n)).name for n in names)
    if changed.get("exclusive_to"):
        changed["exclusive_to"] = desk_named(space, str(changed["exclusive_to"])).name
    before = terms_of(space, of).get(frame.id, FREE)
    terms = replace(before, **changed)  # type: ignore[arg-type]
    save_handling(space, of, frame.id, caller.now(), terms=to_json(terms))
    return terms
