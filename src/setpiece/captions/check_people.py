"""Who is named, and whether she was there: names, numbers, sides, titles, whereabouts, places."""

from __future__ import annotations

import re
from collections.abc import Iterator

from setpiece.captions.acts import Act, Acts, Where
from setpiece.captions.caption import Caption
from setpiece.captions.findings import Finding, doubt, error, remark
from setpiece.captions.freetext import Found, Mention, in_picture
from setpiece.captions.language import Language
from setpiece.captions.people_named import nature_of, whereabouts
from setpiece.captions.reading import Nature, Part, Whereabouts
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.match.people import Person, Side

_AFTER_NAME = re.compile(r"\s*\((\d{1,3})(?=[,)])")
_NUMBER_WORD = r"(?:number|no\.?|nr\.?|nummer)\s*(\d{1,3})"
_NUMBER_AFTER = re.compile(r",?\s*\(?" + _NUMBER_WORD, re.IGNORECASE)
_NUMBER_BEFORE = re.compile(_NUMBER_WORD + r",?\s*$", re.IGNORECASE)
_BETWEEN = re.compile(r"(?:\s*\([^()]*\))?\s*(?:,|\band\b|\bund\b)?\s*(?:\([^()]*\)\s*)?")


def check_names(found: Found, situation: Situation) -> Iterator[Finding]:
    """Unknown and ambiguous people, and names that differ from the sheet."""
    for mention in found.mentions:
        person = situation.person(mention.person)
        if not mention.exact and person is not None:
            yield error(
                "name not as on the sheet",
                f"The sheet prints {person.name}, the text {mention.text}",
                mention.text,
                choices=(person.name,),
            )
    for stranger in found.strangers:
        if len(stranger.people) > 1:
            yield error(
                "ambiguous person",
                f"{stranger.text} may be {' or '.join(stranger.near)}",
                stranger.text,
                choices=stranger.near,
            )
        else:
            near = f"; like it: {', '.join(stranger.near)}" if stranger.near else ""
            yield error(
                "unknown person",
                f"{stranger.text} is nobody on the sheet{near}",
                stranger.text,
                choices=stranger.near,
            )


def check_numbers(found: Found, situation: Situation) -> Iterator[Finding]:
    """The number printed is the number worn in the picture."""
    for mention in found.mentions:
        person = situation.person(mention.person)
        printed = _number_beside(found.text, mention)
        if person is None or printed is None:
            continue
        if not person.role.plays:
            yield error("number not worn", f"{person.name} wears no number", mention.text)
            continue
        worn = numbers_worn(person, situation)
        if printed not in worn:
            shown = " or ".join("none" if n is None else str(n) for n in sorted(worn, key=str))
            yield error(
                "number not worn",
                f"{person.name} wears {shown} at this instant, the text says {printed}",
                mention.text,
                choices=tuple(str(n) for n in worn if n is not None),
            )


def numbers_worn(person: Person, situation: Situation) -> set[int | None]:
    """Every number that person may wear at that instant."""
    worn: set[int | None] = set()
    for state in situation.states:
        side = state.side(person.side) if person.side is not None else None
        on = side is not None and side.is_on(person.id)
        worn.add(side.number_of(person.id) if on and side is not None else person.number)
    return worn


def _number_beside(text: str, mention: Mention) -> int | None:
    for pattern in (_AFTER_NAME, _NUMBER_AFTER):
        after = pattern.match(text, mention.end)
        if after:
            return int(after[1])
    before = _NUMBER_BEFORE.search(text[: mention.start])
    return int(before[1]) if before else None


def check_sides(found: Found, situation: Situation, language: Language) -> Iterator[Finding]:
    """Everybody is said to be of her own side; after full time shirts may be swapped."""
    text = found.text
    of = "|".join(re.escape(w) for w in language.words.get("of", ("of",)))
    for side in Side:
        club = situation.sheet.side(side)
        for name in {club.name, club.short_name} - {""}:
            quoted = re.escape(name)
            for match in re.finditer(rf"(?:\s(?:{of})\s|\s\()(?={quoted}\b)", text):
                yield from _wrong_side(_before(found, match.start()), side, situation)
            for match in re.finditer(rf"\b{quoted}(?:['’]s?\s)(?:\w+\s)??(?=[^\W\d_a-z])", text):
                yield from _wrong_side(_behind(found, match.end()), side, situation)


def _before(found: Found, end: int) -> list[Mention]:
    """The run of mentions that ends there, with only ands and brackets between."""
    run: list[Mention] = []
    for mention in reversed([m for m in found.mentions if m.end <= end]):
        between = found.text[mention.end : end]
        if not _BETWEEN.fullmatch(between):
            break
        run.append(mention)
        end = mention.start
    return run


def _behind(found: Found, start: int) -> list[Mention]:
    first = next((m for m in found.mentions if m.start >= start), None)
    if first is None or first.start > start + 14:
        return []
    between = found.text[start : first.start]
    return [first] if re.fullmatch(r"(?:[a-zäöü]+\s)?", between) else []


def _wrong_side(run: list[Mention], side: Side, situation: Situation) -> Iterator[Finding]:
    for mention in run:
        person = situation.person(mention.person)
        if person is None or person.side is side:
            continue
        theirs = situation.sheet.side(person.side).name if person.side else "neither side"
        if situation.is_over and person.side is not None:
            yield remark(
                "wrong side",
                f"{person.name} is of {theirs}; after full time shirts are swapped",
                mention.text,
            )
        else:
            yield error(
                "wrong side", f"{person.name} is of {theirs}", mention.text, choices=(theirs,)
            )


def check_titles(
    found: Found, situation: Situation, style: HouseStyle, language: Language
) -> Iterator[Finding]:
    """A role is called what the club calls it."""
    words = sorted(language.words.get("titles", ()), key=lambda w: -len(w))
    if not words:
        return
    titles = "|".join(re.escape(w) for w in words)
    before = re.compile(rf"\b({titles})[,:]?\s*$", re.IGNORECASE)
    after = re.compile(rf",\s*(?:the\s)?(?:[^,.()]{{0,40}}?\s)?({titles})\b", re.IGNORECASE)
    for mention in found.mentions:
        person = situation.person(mention.person)
        if person is None:
            continue
        said = before.search(found.text[: mention.start]) or after.match(found.text, mention.end)
        if said is None:
            continue
        right = allowed_titles(person, style, language)
        if said[1].lower() not in {r.lower() for r in right}:
            shown = right[0] if right else "a player"
            yield error(
                "role title not the club's",
                f"{person.name} is {shown}, the text says {said[1]}",
                mention.text,
                choices=right,
            )


def allowed_titles(person: Person, style: HouseStyle, language: Language) -> tuple[str, ...]:
    """The words this style may print for a person's role; none for players."""
    if person.role.plays:
        return ()
    word = person.title or person.role.value
    gen = {"she": "f", "he": "m"}.get(person.pronouns, "")
    printed = (
        language.phrase(f"title.{word}.{gen}", f"title.{word}", f"title.{word}.default") or word
    )
    return tuple(dict.fromkeys((style.titles.get(word, printed), printed, word)))


def check_whereabouts(
    caption: Caption, found: Found, situation: Situation, acts: Acts, language: Language
) -> Iterator[Finding]:
    """Everybody is where the act needs her at that instant."""
    if caption.reading is not None and caption.reading.act in acts.acts:
        act = acts.acts[caption.reading.act]
        for person in caption.reading.people:
            if person.person is not None and person.part not in (Part.FOR, Part.PLACE):
                where = act.where if person.part is Part.SUBJECT else act.object_where
                yield from _where(situation.person(person.person), where, situation, caption, act)
                yield from _duty(situation.person(person.person), person.part, act, situation)
        return
    for mention, where in _free_acts(found, acts, language):
        yield from _where(situation.person(mention.person), where, situation, caption, None)


def _free_acts(found: Found, acts: Acts, language: Language) -> Iterator[tuple[Mention, Where]]:
    """Each person in a text typed over who is said to do something in play."""
    low = found.text.lower()
    for mention in found.mentions:
        rest = low[mention.end : mention.end + 90]
        for act_id, wording in language.wordings.items():
            act = acts.acts.get(act_id)
            if act is None or act.where is not Where.IN_PLAY:
                continue
            if any(verb and re.match(_gap(verb.lower()), rest) for verb in wording.verb):
                yield mention, act.where
                break


def _gap(verb: str) -> str:
    club = r"(?:\s(?:of|von)\s[\w’' .-]{1,40}?)?"
    return rf"(?:\s*\([^()]*\))?{club}(?:\s*\([^()]*\))?\s{re.escape(verb)}\b"


def _where(
    person: Person | None, where: Where, situation: Situation, caption: Caption, act: Act | None
) -> Iterator[Finding]:
    if person is None or where is Where.ANYWHERE or nature_of(person) is not Nature.PLAYER:
        return
    places = [whereabouts(state, person) for state in situation.states]
    fits = [_fits(place, where) for place, _ in places]
    if all(fits):
        return
    place, since = next(p for p, fit in zip(places, fits, strict=True) if not fit)
    why = f"{place}{f' {since}′' if since else ''}".replace("′", "'")
    if any(fits):
        yield doubt(
            "time uncertain",
            f"{person.name} may be {why} when the frame was made",
            person.name,
            choices=("before", "after"),
        )
        return
    code = "dismissed" if place is Whereabouts.DISMISSED else "not where the act needs her"
    needed = "on the pitch" if where is Where.IN_PLAY else "off the pitch"
    yield error(code, f"{person.name} is not {needed} at this instant: {why}", person.name)


def _fits(place: Whereabouts, where: Where) -> bool:
    if where is Where.IN_PLAY:
        return place is Whereabouts.ON_PITCH
    return place in (Whereabouts.BENCH, Whereabouts.SUBSTITUTED, Whereabouts.OFF)


def _duty(person: Person | None, part: Part, act: Act, situation: Situation) -> Iterator[Finding]:
    """A save is made by who keeps goal, a card shown by an official."""
    if person is None or part is not Part.SUBJECT or not act.only:
        return
    if act.only == "goalkeeper" and person.side is not None:
        keepers = {state.side(person.side).in_goal for state in situation.states}
        if person.id not in keepers:
            yield error(
                "not where the act needs her",
                f"{person.name} does not keep goal at this instant",
                person.name,
            )
    if act.only == "officials" and nature_of(person) is not Nature.OFFICIAL:
        yield error(
            "not where the act needs her", f"{person.name} is no match official", person.name
        )


def check_placement(
    caption: Caption, found: Found, situation: Situation, acts: Acts, language: Language
) -> Iterator[Finding]:
    """Two of one side in a text typed over need a placement that tells them apart."""
    if caption.reading is not None:
        return
    first = found.text[: _first_stop(found.text)]
    if any(verb and verb in first for verb in _telling_apart(acts, language)):
        return
    shown = in_picture(found, language)
    places = [t.printed() for t in language.terms["place"].values() if t.printed()]
    for side in Side:
        named = {
            m.person
            for m in shown
            if m.start < len(first)
            and (p := situation.person(m.person)) is not None
            and p.side is side
            and p.role.plays
        }
        said = sum(1 for place in places if re.search(rf"\b{re.escape(place)}\b", first))
        if len(named) > 1 and said < len(named) - 1:
            yield doubt(
                "placement missing",
                f"{len(named)} of {situation.sheet.side(side).short_name} are named, {said} placed",
                choices=("left and right", "in order", "not confusable"),
            )


def _telling_apart(acts: Acts, language: Language) -> Iterator[str]:
    """Verbs that say themselves who is who, as `replaces`."""
    for act_id, wording in language.wordings.items():
        act = acts.acts.get(act_id)
        if act is not None and act.tells_apart:
            yield from wording.verb


def _first_stop(text: str) -> int:
    found = re.search(r"[.!?](?:\s|$)", text)
    return found.start() if found else len(text)
