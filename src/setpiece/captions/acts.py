"""Acts: what people in a picture do, the words that say so, and each language's wording.

One file holds the acts with their English wording; a file of another language adds its own
wording to the same acts; the photographer's own file adds acts. The texts come in as values.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import zip_longest

from setpiece.captions.language import Language, read_language
from setpiece.captions.lexicon import Lexicon, build_lexicon
from setpiece.captions.tables import Table, read_toml
from setpiece.errors import WrongUse
from setpiece.match.entries import Kind

TYPED = "en"
"""The language of the shorthand itself; captions come out in any."""


class Where(StrEnum):
    """Where the act needs its people at that instant. The values are the file's words."""

    IN_PLAY = "in play"
    BENCH = "bench"
    ANYWHERE = "anywhere"


class People(StrEnum):
    """Whether a line with this act names people."""

    REQUIRED = "required"
    OPTIONAL = "optional"
    NONE = "none"


class Sides(StrEnum):
    """Which side the people acted on belong to, seen from who acts."""

    SAME = "same"
    OTHER = "other"
    ANY = "any"


BINDS: Mapping[str, tuple[Kind, ...]] = {
    "": (),
    "goal": (Kind.GOAL,),
    "own goal": (Kind.GOAL,),
    "penalty goal": (Kind.GOAL,),
    "disallowed goal": (Kind.GOAL,),
    "assist": (Kind.GOAL,),
    "penalty awarded": (Kind.PENALTY_AWARDED,),
    "penalty taken": (
        Kind.PENALTY_TAKEN, Kind.PENALTY_SAVED, Kind.PENALTY_MISSED, Kind.PENALTY_RETAKEN,
    ),
    "penalty saved": (Kind.PENALTY_SAVED,),
    "penalty missed": (Kind.PENALTY_MISSED, Kind.PENALTY_SAVED),
    "shoot-out kick": (Kind.SHOOT_OUT_KICK,),
    "shoot-out scored": (Kind.SHOOT_OUT_KICK,),
    "shoot-out saved": (Kind.SHOOT_OUT_KICK,),
    "shoot-out missed": (Kind.SHOOT_OUT_KICK,),
    "yellow": (Kind.YELLOW, Kind.SECOND_YELLOW),
    "second yellow": (Kind.SECOND_YELLOW,),
    "red": (Kind.RED, Kind.SECOND_YELLOW),
    "substitution": (Kind.SUBSTITUTION,),
    "review": (Kind.REVIEW,),
    "injury": (Kind.INJURY, Kind.TREATMENT),
}  # fmt: skip
"""What an act may be bound to in the log, by the word the act files use."""


@dataclass(frozen=True, slots=True)
class Act:
    """One act: its typed forms and where its people may be.

    A form is a run of words; `_` in it marks where the people acted on may stand, as in
    `saves _ penalty`. `inverse` forms swap who acts and who is acted on (`tackled by`).
    `entry_within_s` is how long before the frame the bound entry may have happened, and
    how long after, because a log is typed late. `care` holds the picture until a person
    decides. `tells_apart`: the act itself says who is who, no placement is needed.
    """

    id: str
    forms: tuple[str, ...]
    inverse: tuple[str, ...] = ()
    people: People = People.REQUIRED
    where: Where = Where.IN_PLAY
    object_where: Where = Where.IN_PLAY
    object_side: Sides = Sides.ANY
    binds: str = ""
    needs_entry: bool = False
    entry_within_s: tuple[int, int] = (60, 30)
    care: bool = False
    tells_apart: bool = False
    only: str = ""
    shot: str = ""


@dataclass(frozen=True, slots=True)
class Acts:
    """Every act by its id, every language by its code, and what typed forms lead to which act."""

    acts: Mapping[str, Act]
    languages: Mapping[str, Language]
    by_form: Mapping[tuple[str, str, bool], str] = field(repr=False)
    lexicon: Lexicon = field(repr=False)

    def language(self, code: str) -> Language:
        """The language with that code. Raises WrongUse naming those there are."""
        found = self.languages.get(code)
        if found is None:
            raise WrongUse(
                "no act file has that language",
                thing=code,
                next_step="There are " + ", ".join(sorted(self.languages)) + ".",
            )
        return found


def split_form(form: str) -> tuple[str, str]:
    """A form's words before and after `_`: what is done, and the thing it is done to."""
    verb, _, thing = form.lower().partition("_")
    return " ".join(verb.split()), " ".join(thing.split())


def read_acts(*texts: str, names: Sequence[str] = ()) -> Acts:
    """The acts of one or more act files; a later file adds to an earlier one.

    The first file is the one with English wording; `names` are theirs, for errors. Raises WrongUse
    for a file that cannot be understood, a form that two acts share, and wording for an act there
    is not.
    """
    acts: dict[str, Act] = {}
    languages: dict[str, Language] = {}
    for file, text in zip_longest(names, texts, fillvalue="act file"):
        top = read_toml(text, file)
        code = top.text("language", "en")
        table = top.table("act")
        rows = {name: table.table(name) for name in table.names()}
        for name, row in rows.items():
            if row.has("forms"):
                acts[name] = _read_act(name, row)
            elif name not in acts:
                raise WrongUse(
                    "wording for an act that no file defines",
                    thing=row.thing,
                    next_step="Give it `forms`, or correct its name.",
                )
        languages[code] = read_language(code, top, rows, languages.get(code))
        for row in (*rows.values(), top):
            row.close()
    by_form = _forms(acts)
    return Acts(acts, languages, by_form, build_lexicon(languages[TYPED], by_form))


def _read_act(name: str, row: Table) -> Act:
    within = row.table("entry_within")
    binds = row.one_of("binds", BINDS, "")
    return Act(
        id=name,
        forms=row.texts("forms"),
        inverse=row.texts("inverse"),
        people=People(row.one_of("people", tuple(People), People.REQUIRED)),
        where=Where(row.one_of("where", tuple(Where), Where.IN_PLAY)),
        object_where=Where(
            row.one_of("object_where", tuple(Where), row.text("where", Where.IN_PLAY))
        ),
        object_side=Sides(row.one_of("object_side", tuple(Sides), Sides.ANY)),
        binds=binds,
        needs_entry=row.flag("needs_entry", False),
        entry_within_s=(
            within.number("before_s", 60, 0, 7200),
            within.number("after_s", 30, 0, 7200),
        ),
        care=row.flag("care", False),
        tells_apart=row.flag("tells_apart", False),
        only=row.one_of("only", ("", "goalkeeper", "officials", "captain"), ""),
        shot=row.text("shot", ""),
    )


def _forms(acts: Mapping[str, Act]) -> dict[tuple[str, str, bool], str]:
    by_form: dict[tuple[str, str, bool], str] = {}
    for act in acts.values():
        typed = [(form, False) for form in act.forms] + [(form, True) for form in act.inverse]
        for form, inverse in typed:
            key = (*split_form(form), inverse)
            if not key[0]:
                raise WrongUse("a form needs a word before `_`", thing=f"{act.id}: {form}")
            other = by_form.setdefault(key, act.id)
            if other != act.id:
                raise WrongUse(
                    f"two acts share the form `{form}`",
                    thing=f"{other} and {act.id}",
                    next_step="Take it from one of them.",
                )
    return by_form
