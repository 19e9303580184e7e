"""Words for a desk, in its language: instructions, corrections, kills."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

from setpiece.captions.changes import ChangedFact
from setpiece.captions.fields import PictureFields
from setpiece.errors import WrongUse

EDIT_STATUS = "CORRECTION"
"""IIM 4.2, dataset 2:07: the status of a file that corrects an earlier one."""

INSTRUCTIONS_MOST_BYTES = 256
"""IIM 4.2, dataset 2:40."""

WORDS: MappingProxyType[str, MappingProxyType[str, str]] = MappingProxyType(
    {
        "en": MappingProxyType(
            {
                "label": "RETRANSMISSION TO CORRECT AN ERROR:",
                "named": "it named {old} in error; right is {new}.",
                "not shown": "{old} was named in error.",
                "left out": "{new} was not named.",
                "fact": "the {what} was given as {old}; right is {new}.",
                "text": "the text was wrong.",
                "kill": "KILL - MANDATORY",
                "picture": "Picture:",
                "headline": "Headline:",
                "reason": "Reason:",
                "order": "Do not use this picture. Delete it from all systems and archives, and "
                "tell everybody who had it from you.",
                "follows": "A replacement follows: {name}",
                "none": "There is no replacement.",
                "sent": "Sent {time} by {photographer}",
                "pool": "Pool picture: free to all who share the pool.",
                "embargo": "Embargo: not for use before {time}.",
            }
        ),
        "de": MappingProxyType(
            {
                "label": "NEUE ÜBERTRAGUNG, UM EINEN FEHLER ZU BERICHTIGEN:",
                "named": "irrtümlich wurde {old} genannt; richtig ist {new}.",
                "not shown": "{old} wurde irrtümlich genannt.",
                "left out": "{new} wurde nicht genannt.",
                "fact": "{what} war mit {old} angegeben; richtig ist {new}.",
                "text": "der Text war falsch.",
                "kill": "KILL - VERBINDLICH",
                "picture": "Bild:",
                "headline": "Überschrift:",
                "reason": "Grund:",
                "order": "Dieses Bild nicht verwenden. Bitte aus allen Systemen und Archiven "
                "löschen und alle benachrichtigen, die es von Ihnen haben.",
                "follows": "Ersatz folgt: {name}",
                "none": "Es gibt keinen Ersatz.",
                "sent": "Gesendet {time} von {photographer}",
                "pool": "Poolbild: frei für alle, die am Pool teilhaben.",
                "embargo": "Sperrfrist: nicht vor {time} verwenden.",
            }
        ),
    }
)
"""By language, English where a desk's is missing. The label follows the wire trade's rule for a
corrected picture; a kill names file, reason, order and replacement (from memory)."""

_WHAT = MappingProxyType(
    {
        "de": MappingProxyType(
            {
                "score": "der Spielstand",
                "minute": "die Minute",
                "date": "das Datum",
                "number": "die Rückennummer",
                "title": "die Funktion",
                "name": "der Name",
                "places": "der Ort",
                "clubs": "die Mannschaften",
            }
        )
    }
)
_PEOPLE = ("person", "name", "scorer")


def words_for(language: str) -> MappingProxyType[str, str]:
    """The words in a style's language."""
    return WORDS.get(language, WORDS["en"])


def what_was_wrong(facts: Iterable[ChangedFact], said: str, language: str) -> str:
    """The sentence for the Instructions field; `said` is the photographer's own account."""
    words = words_for(language)
    found = list(facts)
    old = [_bare(f.old) for f in found if f.what in _PEOPLE and f.old]
    new = [_bare(f.new) for f in found if f.what in _PEOPLE and f.new]
    parts = [said.strip()] if said.strip() else []
    if not parts and old and new:
        parts.append(words["named"].format(old=_listed(old), new=_listed(new)))
    elif not parts and old:
        parts.append(words["not shown"].format(old=_listed(old)))
    elif not parts and new:
        parts.append(words["left out"].format(new=_listed(new)))
    if not said.strip():
        names = _WHAT.get(language, MappingProxyType({}))
        parts += [
            words["fact"].format(what=names.get(f.what, f.what), old=f.old, new=f.new)
            for f in found
            if f.what not in _PEOPLE and f.old and f.new
        ]
    return f"{words['label']} {' '.join(parts) or words['text']}"


def corrected(
    fields: PictureFields, facts: Iterable[ChangedFact], said: str, language: str
) -> tuple[PictureFields, bool]:
    """The fields of a corrected picture: edit status, and instructions that say what was wrong.

    True beside them where the facts did not fit, and they only say that the text was wrong.
    Raises WrongUse where the photographer's own account does not fit: it is never cut.
    """
    found = tuple(facts)
    for shortly in (False, True):
        wrong = what_was_wrong(() if shortly else found, said, language)
        text = f"{wrong} {fields.instructions}".strip()
        size = len(text.encode())
        if size <= INSTRUCTIONS_MOST_BYTES:
            return replace(fields, edit_status=EDIT_STATUS, instructions=text), shortly
    raise WrongUse(
        f"what was wrong takes {size} bytes with the picture's other instructions, and the field "
        f"holds {INSTRUCTIONS_MOST_BYTES}",
        thing=said.strip() or fields.instructions,
        next_step="Say it in fewer words.",
    )


def kill_text(
    names: Iterable[str],
    headline: str,
    reason: str,
    replacement: str,
    *,
    time: str,
    photographer: str,
    language: str,
) -> str:
    """The notice that a picture must not be used."""
    words = words_for(language)
    follows = words["follows"].format(name=replacement) if replacement else words["none"]
    lines = [words["kill"], ""]
    lines += [f"{words['picture']} {name}" for name in names]
    lines += [f"{words['headline']} {headline}"] if headline else []
    lines += [f"{words['reason']} {reason}", "", words["order"], follows, ""]
    lines.append(words["sent"].format(time=time, photographer=photographer).strip())
    return "\r\n".join(lines) + "\r\n"


def _bare(name: str) -> str:
    """A name without the number that stands behind it in a comparison of facts."""
    head, comma, tail = name.rpartition(", ")
    return head if comma and (tail.isdecimal() or tail == "None") else name


def _listed(names: list[str]) -> str:
    return ", ".join(dict.fromkeys(names))
