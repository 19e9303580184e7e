"""Kinds of planted error: each makes one fact of a true caption wrong, or gives None."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import plain
from lines import COACHES, Case
from plain import Match
from replay import Replay

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption
from setpiece.captions.compose import Creator, compose
from setpiece.captions.fields import PictureFields
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.captions.typed_over import typed_over
from setpiece.match.entries import Entry, EntryId, Kind


@dataclass
class Clean:
    """A true caption and everything it was made from."""

    caption: Caption
    case: Case
    situation: Situation
    style: HouseStyle
    acts: Acts
    replay: Replay
    chance: random.Random

    @property
    def match(self) -> Match:
        return self.replay.match

    @property
    def text(self) -> str:
        return self.caption.fields.description

    def typed(self, text: str) -> Caption | None:
        """The caption with another description typed over it; None if nothing changed."""
        if text == self.text:
            return None
        values = replace(self.caption.fields, description=text)
        return self.with_fields(values)

    def with_fields(self, values: PictureFields) -> Caption:
        return typed_over(self.caption, values, self.situation, self.style, self.acts)


Plant = Callable[[Clean], "Caption | tuple[Caption, Situation] | None"]


def wrong_score(c: Clean) -> Caption | None:
    if c.case.score is None:
        return None
    home, away = c.case.score
    old = f"{home}{c.style.score}{away}"
    return c.typed(c.text.replace(old, f"{home + 1}{c.style.score}{away}"))


def turned_score(c: Clean) -> Caption | None:
    if c.case.score is None or c.case.score[0] == c.case.score[1]:
        return None
    home, away = c.case.score
    return c.typed(c.text.replace(f"{home}{c.style.score}{away}", f"{away}{c.style.score}{home}"))


def wrong_minute(c: Clean) -> Caption | None:
    label = c.caption.facts.minute
    if label is None:
        return None
    shift = 3 if label.minute < 85 else -3
    if label.added:
        return c.typed(c.text.replace(str(label), f"{label.minute}+{label.added + 3}"))
    other = label.minute + shift
    end = (
        {1: "st", 2: "nd", 3: "rd"}.get(other % 10, "th")
        if other % 100 not in (11, 12, 13)
        else "th"
    )
    text = re.sub(rf"\b{label.minute}(?:st|nd|rd|th) minute", f"{other}{end} minute", c.text)
    text = text.replace(f"({label.minute}')", f"({other}')")
    return c.typed(text.replace(f"({label.minute}.)", f"({other}.)"))


def wrong_scorer(c: Clean) -> Caption | None:
    if not c.case.scorer or c.case.disallowed or c.case.how == "own goal":
        return None
    name = c.match.person(c.case.scorer).name
    side = c.match.person(c.case.scorer).side
    goals = {e.person for e in c.match.events if e.kind == "goal"}
    others = [p for p in plain.on_pitch(c.match, side, c.case.at_s) if p not in goals]
    if not re.search(rf"{re.escape(name)} scored|(?:by|von) {re.escape(name)} (?:to|zum)", c.text):
        return None
    return c.typed(c.text.replace(name, c.match.person(c.chance.choice(others)).name))


def own_goal_as_goal(c: Clean) -> Caption | None:
    if c.case.how != "own goal" or "scores an own goal" not in c.text:
        return None
    return c.typed(c.text.replace("scores an own goal", "scores"))


def slip_in_name(c: Clean) -> Caption | None:
    named = [p for p in c.case.people if c.match.person(p.id).name in c.text]
    if not named:
        return None
    name = c.match.person(named[0].id).name
    at = [i for i, x in enumerate(name) if x.isalpha() and i > 1 and name[i - 1].isalpha()]
    if not at or len(name) < 6:
        return None
    spot = c.chance.choice(at)
    letter = c.chance.choice([x for x in "aeioubdgklmnprstvz" if x != name[spot].lower()])
    letter = letter.upper() if name[spot].isupper() else letter
    return c.typed(c.text.replace(name, name[:spot] + letter + name[spot + 1 :]))


def accents_dropped(c: Clean) -> Caption | None:
    import unicodedata

    for person in c.case.people:
        name = c.match.person(person.id).name
        bare = "".join(
            x for x in unicodedata.normalize("NFKD", name) if not unicodedata.combining(x)
        )
        if bare != name and name in c.text:
            return c.typed(c.text.replace(name, bare))
    return None


def stranger_named(c: Clean) -> Caption | None:
    for person in c.case.people:
        name = c.match.person(person.id).name
        if name in c.text:
            return c.typed(c.text.replace(name, "Quintilla Brexworth"))
    return None


def shared_family_name(c: Clean) -> Caption | None:
    for person in c.case.people:
        name = c.match.person(person.id).name
        last = name.split()[-1]
        sharing = [p for p in c.match.people if p.name.split()[-1] == last]
        if len(sharing) > 1 and name in c.text:
            return c.typed(c.text.replace(name, last))
    return None


def wrong_number(c: Clean) -> Caption | None:
    if not c.style.numbers:
        return None
    for person in c.case.people:
        if person.number is not None:
            name = c.match.person(person.id).name
            other = f"{name} ({person.number + 30}"
            return c.typed(c.text.replace(f"{name} ({person.number}", other))
    return None


def wrong_club(c: Clean) -> Caption | None:
    if not c.case.people or not c.match.person(c.case.people[0].id).side:
        return None
    someone = c.match.person(c.case.people[0].id)
    if someone.role not in ("player", "goalkeeper"):
        return None
    right = c.match.club(someone.side).name
    wrong = c.match.club("away" if someone.side == "home" else "home").name
    name = re.escape(someone.name)
    others = r"(?:(?:,| and| und) [^.]*?)?"
    pattern = rf"({name}(?: \([^)]*\))?{others}) (of|von) {re.escape(right)}"
    text = re.sub(pattern, rf"\1 \2 {wrong}", c.text, count=1)
    if text == c.text:
        text = re.sub(rf"{re.escape(right)}(['’]s? (?:goalkeeper )?{name})", rf"{wrong}\1", c.text)
    return c.typed(text)


def wrong_title(c: Clean) -> Caption | None:
    if not c.case.people or c.match.person(c.case.people[0].id).role not in COACHES:
        return None
    pairs = (
        ("head coach", "manager"), ("manager", "head coach"), ("Head Coach", "Cheftrainer"),
        ("Teammanagement", "Cheftrainer"), ("Cheftrainerin", "Teammanagerin"),
        ("Teammanager", "Cheftrainer"),
    )  # fmt: skip
    for right, wrong in pairs:
        if re.search(rf"\b{right} ", c.text):
            return c.typed(re.sub(rf"\b{right} ", f"{wrong} ", c.text, count=1))
    return None


def wrong_day(c: Clean) -> Caption | None:
    day = c.caption.facts.date
    if day is None:
        return None
    other = day.day + 1 if day.day < 27 else day.day - 1
    text = re.sub(rf"\b{day.day}(\.?) (?=[A-ZJFMÄa-zä]+ {day.year})", rf"{other}\1 ", c.text)
    return c.typed(re.sub(rf" {day.day}, {day.year}", f" {other}, {day.year}", text))


def year_dropped(c: Clean) -> Caption | None:
    day = c.caption.facts.date
    return c.typed(re.sub(rf",? {day.year if day else ''}", "", c.text, count=1))


DAYS = (
    "Monday Tuesday Wednesday Thursday Friday Saturday Sunday Montag Dienstag Mittwoch "
    "Donnerstag Freitag Samstag Sonntag"
).split()


def wrong_weekday(c: Clean) -> Caption | None:
    for index, day in enumerate(DAYS):
        after = DAYS[(index + 1) % 7 + (7 if index >= 7 else 0)]
        if re.search(rf"\b{day}\b", c.text):
            return c.typed(re.sub(rf"\b{day}\b", after, c.text))
        if re.search(rf"\b{day[:3]}, ", c.text):
            return c.typed(re.sub(rf"\b{day[:3]}, ", f"{after[:3]}, ", c.text))
    return None


def wrong_city(c: Clean) -> Caption | None:
    return c.with_fields(replace(c.caption.fields, city="Elsewhere"))


def wrong_venue(c: Clean) -> Caption | None:
    return c.with_fields(replace(c.caption.fields, sublocation="Another Ground"))


def wrong_date_created(c: Clean) -> Caption | None:
    made = c.caption.fields.date_created
    if made is None:
        return None
    return c.with_fields(replace(c.caption.fields, date_created=made.replace(year=made.year - 1)))


def over_long(c: Clean) -> Caption | None:
    return c.with_fields(replace(c.caption.fields, headline=c.caption.fields.headline + " ü" * 130))


def field_emptied(c: Clean) -> Caption | None:
    name = c.chance.choice([n for n in c.style.required if n not in ("persons",)])
    empty = () if isinstance(getattr(c.caption.fields, name), tuple) else ""
    value = None if name == "date_created" else empty
    return c.with_fields(replace(c.caption.fields, **{name: value}))


IN_PLAY = re.compile(
    r" (?:shoots|tackles|heads the ball|crosses the ball|clears the ball|fouls|dribbles|"
    r"challenges|passes the ball|takes a corner|schießt|grätscht|foult|flankt|köpft den Ball)\b"
)


def bench_player_in_play(c: Clean) -> Caption | None:
    if not c.case.people or not IN_PLAY.search(c.text):
        return None
    first = c.case.people[0]
    someone = c.match.person(first.id)
    sitting = plain.bench(c.match, someone.side, c.case.at_s)
    if not sitting or someone.name not in c.text.split(IN_PLAY.search(c.text)[0])[0]:
        return None
    other = c.match.person(c.chance.choice(sitting))
    text = c.text.replace(f"{someone.name} ({first.number}", f"{other.name} ({other.number}")
    return c.typed(text.replace(someone.name, other.name))


def played_on_after_leaving(c: Clean) -> Caption | None:
    """A line typed at a frame made after its player had left the pitch."""
    left = [e for e in c.match.events if e.kind in ("substitution", "red", "second yellow")]
    left = [e for e in left if e.at_s < c.case.at_s - 5]
    if not left:
        return None
    gone = c.match.person(c.chance.choice(left).person)
    if gone.role == "goalkeeper":
        return None
    line = f"{gone.name.lower()} shoots"
    return compose(line, c.situation, c.style, c.acts, creator=Creator("Kim Arnesen"))


PAST = {
    "celebrates": "celebrated", "celebrate": "celebrated", "reacts": "reacted", "heads": "headed",
    "tackles": "tackled", "shoots": "shot", "passes": "passed", "crosses": "crossed",
    "clears": "cleared", "fouls": "fouled", "controls": "controlled", "embraces": "hugged",
    "replaces": "replaced", "challenges": "challenged", "jumps": "jumped", "jubelt": "jubelte",
    "grätscht": "grätschte", "schießt": "schoss", "köpft": "köpfte", "foult": "foulte",
}  # fmt: skip


def past_tense(c: Clean) -> Caption | None:
    for now, then in PAST.items():
        if re.search(rf"\b{now}\b", c.text):
            return c.typed(re.sub(rf"\b{now}\b", then, c.text, count=1))
    return None


def three_sentences(c: Clean) -> Caption | None:
    return c.typed(f"{c.text} The crowd is loud. The pitch is wet.")


def winner_too_soon(c: Clean) -> Caption | None:
    if c.style.language != "en":
        return c.typed(c.text.replace("im Spiel", "nach dem Siegtreffer im Spiel", 1))
    return c.typed(c.text.replace(" during ", " after the winner during ", 1))


def false_equaliser(c: Clean) -> Caption | None:
    if c.case.score is None or c.case.score[0] == c.case.score[1]:
        return None
    if c.style.language != "en":
        return c.typed(c.text.replace("im Spiel", "nach dem Ausgleich im Spiel", 1))
    return c.typed(c.text.replace(" during ", " after the equaliser during ", 1))


def diagnosis(c: Clean) -> Caption | None:
    if c.style.language != "en":
        return c.typed(c.text.replace("im Spiel", "mit einem Kreuzbandriss im Spiel", 1))
    return c.typed(c.text.replace(" during ", " with a torn ligament during ", 1))


def goal_withdrawn(c: Clean) -> tuple[Caption, Situation] | None:
    """The goal that the caption speaks of is taken back after it was written."""
    if not c.case.scorer or not c.caption.facts.entries:
        return None
    log = list(c.replay.log)
    back = Entry(
        EntryId(len(log) + 1), Kind.WITHDRAWN, typed=log[-1].typed,
        supersedes=c.caption.facts.entries[0],
    )  # fmt: skip
    changed = Replay(c.match)
    changed.__dict__["log"] = (*log, back)
    return c.caption, changed.situation(c.case.at_s)


_SCORE = ("score not the log's", "scorer not the log's")
"""A score that another made is a wrong score or a wrong scorer: either is the error."""

_NAME = ("name not as on the sheet", "unknown person", "ambiguous person")
KINDS: Mapping[str, tuple[Plant, tuple[str, ...]]] = {
    "score": (wrong_score, _SCORE),
    "score turned round": (turned_score, _SCORE),
    "minute": (wrong_minute, ("minute not the log's",)),
    "scorer": (wrong_scorer, ("scorer not the log's",)),
    "own goal told as a goal": (own_goal_as_goal, ("scorer not the log's",)),
    "slip in a name": (slip_in_name, _NAME),
    "accents dropped": (accents_dropped, _NAME),
    "somebody not on the sheet": (stranger_named, _NAME),
    "a shared family name alone": (shared_family_name, _NAME),
    "number": (wrong_number, ("number not worn",)),
    "club": (wrong_club, ("wrong side",)),
    "role title": (wrong_title, ("role title not the club's",)),
    "day": (wrong_day, ("date not the frame's",)),
    "year missing": (year_dropped, ("year missing", "date missing")),
    "weekday": (wrong_weekday, ("weekday not the frame's",)),
    "city": (wrong_city, ("city not the fixture's",)),
    "venue": (wrong_venue, ("venue not the fixture's",)),
    "date created": (wrong_date_created, ("date not the frame's",)),
    "over-long field": (over_long, ("over-long field",)),
    "required field empty": (field_emptied, ("field missing", "date missing", "place missing")),
    "on the bench, in play": (bench_player_in_play, ("not where the act needs her",)),
    "left the pitch, in play": (
        played_on_after_leaving, ("not where the act needs her", "dismissed"),
    ),
    "past tense": (past_tense, ("not in the present tense",)),
    "three sentences": (three_sentences, ("too many sentences",)),
    "winner before full time": (winner_too_soon, ("winner before full time",)),
    "no equaliser": (false_equaliser, ("equaliser not the log's",)),
    "diagnosis": (diagnosis, ("diagnosis",)),
    "goal withdrawn": (goal_withdrawn, ("older than a fact it used",)),
}  # fmt: skip
"""Every kind of planted error, and the findings of which one must be there."""
