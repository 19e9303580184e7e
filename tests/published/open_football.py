"""Reads the open match files of football-open into matches, and each match into a fold.

Source: football-open (README.md there names repositories, commits and licences). Nothing of it
is kept here; what the sources have wrong stands in its KNOWN-DEFECTS.md and is left as it is.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path

from setpiece.match.exchange import read_log_csv
from setpiece.match.fixture import Fixture, Rules
from setpiece.match.fold import Fold
from setpiece.match.instants import MinuteLabel, instant
from setpiece.match.names import folded
from setpiece.match.people import Person, Role, Side, SidePeople, TeamSheet, numbered_id

HOME, AWAY = Side.HOME, Side.AWAY

WORLD_CUP = "cc0-openfootball-worldcup"
SHORT_FILES = (
    f"{WORLD_CUP}/1930--uruguay/cup.txt",
    f"{WORLD_CUP}/1938--france/cup.txt",
    f"{WORLD_CUP}/1990--italy/cup_finals.txt",
    f"{WORLD_CUP}/2018--russia/cup.txt",
    f"{WORLD_CUP}/2018--russia/cup_finals.txt",
    f"{WORLD_CUP}/2026--usa/cup.txt",
    f"{WORLD_CUP}/2026--usa/cup_finals.txt",
    f"{WORLD_CUP}/2026--usa/quali_playoffs.txt",
    "cc0-openfootball-euro/2021--europe/euro.txt",
    "cc0-openfootball-copa-america/2021--brazil/copa.txt",
)
"""Results with scorers in one or two lines a match."""

FULL_YEARS = (1930, 1938, 1954, 1958, 1966, 1974, 1982, 1990, 1998, 2002, 2010, 2018, 2026)
FULL_FILES = tuple(f"{WORLD_CUP}/more/{year}_full.txt" for year in FULL_YEARS)
"""Results with line-ups, substitutions and cards."""

AUSTRIA = "cc0-openfootball-austria/2025-26/1-bundesliga-full.txt"


@dataclass(frozen=True)
class Told:
    """Something a file says happened: the minute as printed, the side, who, who else."""

    kind: str
    minute: str
    side: Side
    name: str
    other: str = ""
    how: str = ""


@dataclass(frozen=True)
class OpenMatch:
    """A match as a file has it. `regular` is the score after 90 minutes of a longer match."""

    file: str
    line: int
    home: str
    away: str
    score: tuple[int, int]
    half_time: tuple[int, int] | None = None
    regular: tuple[int, int] | None = None
    extra_time: bool = False
    shoot_out: tuple[int, int] | None = None
    told: tuple[Told, ...] = ()
    line_ups: dict[Side, tuple[str, ...]] = field(default_factory=dict)
    kicks: tuple[Told, ...] = ()

    @property
    def name(self) -> str:
        """File, line and the two sides, as a defect is named."""
        return f"{Path(self.file).name}:{self.line} {self.home} v {self.away}"


# ----- scores -----

_PAIR = re.compile(r"(\d+)-(\d+)")
_SCORE = re.compile(
    r"(?:(?P<pens_first>\d+-\d+)\s+pen\.\s+)?"
    r"(?P<main>\d+-\d+)?(?P<aet>\s*a\.e\.t\.?)?\s*"
    r"(?P<brackets>\([\d\-, ]+\))?(?:,?\s*(?P<pens>\d+-\d+)\s+pen\.)?"
)


def _pair(text: str) -> tuple[int, int]:
    found = _PAIR.search(text)
    assert found is not None, text
    return int(found[1]), int(found[2])


def _scores(text: str) -> dict[str, object]:
    found = _SCORE.match(text)
    assert found is not None, text
    in_brackets = [_pair(p) for p in re.findall(r"\d+-\d+", found["brackets"] or "")]
    aet = bool(found["aet"])
    pens = found["pens"] or found["pens_first"]
    if found["main"] is None:  # "4-3 pen. (3-3)": straight to the kicks
        return {"score": in_brackets[0], "shoot_out": _pair(pens)}
    scores: dict[str, object] = {"score": _pair(found["main"]), "extra_time": aet}
    if pens:
        scores["shoot_out"] = _pair(pens)
    if aet and in_brackets:
        scores["regular"] = in_brackets[0]
        if len(in_brackets) > 1:
            scores["half_time"] = in_brackets[1]
    elif in_brackets:
        scores["half_time"] = in_brackets[0]
    return scores


# ----- goals -----

_GOAL = re.compile(r"(\d{1,3}(?:\+\d{1,2})?)'\s*(\((?:pen\.|p|o\.g\.|og)\))?")


def _goals(text: str, score: tuple[int, int]) -> Iterator[Told]:
    """The goals in brackets; `;` parts home from away, one part alone is of who scored."""
    parts = text.strip().removeprefix("(").removesuffix(")").split(";")
    sides = list(Side) if len(parts) == 2 else [HOME if score[0] else AWAY]
    for part, side in zip(parts, sides, strict=True):
        name, since = "", 0
        for found in _GOAL.finditer(part):
            between = part[since : found.start()].strip(" ,\n\t")
            name = " ".join(between.split()) or name
            since = found.end()
            mark = found[2] or ""
            how = "own goal" if "o" in mark else "penalty" if "p" in mark else ""
            yield Told("goal", found[1], side, name, how=how)


def _bracketed(lines: list[str], at: int) -> tuple[str, int]:
    """The text in brackets that begins on line `at` (or nothing), and the line after it."""
    if at >= len(lines) or not lines[at].lstrip().startswith("("):
        return "", at
    text, depth = "", 0
    while at < len(lines):
        text += " " + lines[at].strip()
        depth = text.count("(") - text.count(")")
        at += 1
        if depth <= 0:
            break
    return text, at


# ----- short files -----

_BEFORE_TEAM = re.compile(
    r"\(\d+\)|\(?\d{1,2}:\d{2}\)?|\bUTC[+\-±]?\d*\)?|\bCES?T\b|\d{1,2}/\d{1,2}/\d{2}"
    r"|\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun|Tu|Th|We|Fr|Sa|Su|Mo)\b(?=\s+\w+\s+\d|\s+\d)"
    r"|\b(?:Jan|Feb|Mar|Apr|May|June?|July?|Aug|Sep|Oct|Nov|Dec)\s+\d{1,2}\b"
    r"|\b\d{1,2}\s+(?:June|July)\b|\(\)"
)
_SHORT = re.compile(
    r"^(?P<before>.*?\S)\s+(?P<score>(?:\d+-\d+\s+pen\.\s+)?(?:\d+-\d+|\(\d+-\d+\))"
    r"(?:\s*a\.e\.t\.?)?\s*,?\s*(?:\([\d\-, ]+\))?,?\s*(?:\d+-\d+\s+pen\.)?)"
    r"\s+(?P<away>[^\d@][^@]*?)\s*@"
)


def short_matches(folder: Path, file: str) -> list[OpenMatch]:
    """The matches of a file that has a match and its scorers in one or two lines."""
    lines = (folder / file).read_text(encoding="utf-8").splitlines()
    matches: list[OpenMatch] = []
    for index, line in enumerate(lines):
        found = _SHORT.match(line.split("##")[0])
        if not found or line.startswith("#"):
            continue
        home = _BEFORE_TEAM.sub(" ", found["before"]).strip(" ,")
        scores = _scores(found["score"])
        text, _ = _bracketed(lines, index + 1)
        told = tuple(_goals(text, scores["score"])) if text else ()  # type: ignore[arg-type]
        matches.append(
            OpenMatch(file, index + 1, home, found["away"].strip(), told=told, **scores)  # type: ignore[arg-type]
        )
    return matches


# ----- full files -----

_FULL = re.compile(r"^ {2}(?P<home>\S.*?) v (?P<away>\S.*?) {2,}(?P<score>\d+-\d+.*?)\s*$")
_CARDS = {"Y": "yellow", "R": "red", "Y/R": "second yellow"}
_LISTED = {"Yellow": "yellow", "Red": "red", "Yellow-Red": "second yellow"}


def full_matches(folder: Path, file: str) -> list[OpenMatch]:
    """The matches of a file with line-ups."""
    lines = (folder / file).read_text(encoding="utf-8").splitlines()
    starts = [i for i, line in enumerate(lines) if _FULL.match(line)]
    return [
        _full(file, lines, at, until)
        for at, until in zip(starts, [*starts[1:], len(lines)], strict=True)
    ]


def _full(file: str, lines: list[str], at: int, until: int) -> OpenMatch:
    found = _FULL.match(lines[at])
    assert found is not None
    match = OpenMatch(file, at + 1, found["home"], found["away"], **_scores(found["score"]))  # type: ignore[arg-type]
    text, after = _bracketed(lines, at + 1)
    told = list(_goals(text, match.score)) if text else []
    line_ups: dict[Side, tuple[str, ...]] = {}
    kicks: tuple[Told, ...] = ()
    for side, word, text in _blocks(lines[after:until], match):
        if word == "Penalties":
            kicks = tuple(_kicks(text, match))
        elif word in _LISTED and side is not None:
            told += [replace(t, kind=_LISTED[word], side=side) for t in _goals(text, (1, 0))]
        elif side is not None:
            names, more = _line_up(text, side)
            line_ups[side] = names
            told += more
    return replace(match, told=tuple(told), line_ups=line_ups, kicks=kicks)


def _blocks(lines: list[str], match: OpenMatch) -> Iterator[tuple[Side | None, str, str]]:
    """The headed texts under a match: line-ups, card lists, penalties, referees."""
    side: Side | None = None
    word, text = "", ""
    for line in [*lines, "Refs: end"]:
        heading = re.match(r"^( *)((?:(?!\d')[^:]){2,40}): +(.*)$", line)
        if heading is None:
            text += " " + line.strip() if word else ""
            continue
        if word and word != "Refs":
            yield (side, word, text)
        word, text = heading[2].strip(), heading[3]
        if not heading[1]:
            side = {match.home: HOME, match.away: AWAY}.get(word)


def _kicks(text: str, match: OpenMatch) -> Iterator[Told]:
    """Kicks of the shoot-out. A tally tells who scored; the sides alternate."""
    parts = [p.strip() for p in text.split(",") if p.strip()]
    scored = [_pair(p) if _PAIR.match(p) else None for p in parts]
    first = next(
        (s is not None and s[0] == 1) is (i % 2 == 0) for i, s in enumerate(scored) if s is not None
    )
    sides = (HOME, AWAY) if first else (AWAY, HOME)
    for index, part in enumerate(parts):
        name = re.sub(r"^\d+-\d+|\([a-z]+\)", "", part).strip()
        how = "scored" if scored[index] else "saved" if "saved" in part else "missed"
        yield Told("shoot-out kick", "", sides[index % 2], name, how=how)


def _line_up(text: str, side: Side) -> tuple[tuple[str, ...], list[Told]]:
    """Who starts, and the substitutions and cards written beside the names."""
    told: list[Told] = []
    starters: list[str] = []
    for item in _split(text):
        name, rest = _person(item)
        starters.append(name)
        told += _marks(name, rest, side)
    return tuple(starters), told


def _split(text: str) -> list[str]:
    """The text parted at commas and at lone hyphens, but not inside brackets."""
    parts, depth, part = [], 0, ""
    for index, letter in enumerate(text):
        depth += (letter in "([") - (letter in ")]")
        lone = letter == "-" and text[index - 1 : index + 2] in (" - ", " -")
        if depth == 0 and (letter == "," or lone):
            parts.append(part)
            part = ""
        else:
            part += letter
    return [" ".join(p.split()) for p in [*parts, part] if p.strip()]


def _person(item: str) -> tuple[str, str]:
    at = min((i for i in (item.find("["), item.find("(")) if i >= 0), default=len(item))
    return item[:at].strip(), item[at:]


def _marks(name: str, rest: str, side: Side) -> Iterator[Told]:
    for card, minute in re.findall(r"\[(Y/R|Y|R) (\d+(?:\+\d+)?)'\]", _outer(rest)):
        yield Told(_CARDS[card], minute, side, name)
    change = re.search(r"\((\d+(?:\+\d+)?)' (.*)\)", rest)
    if change:
        comes, after = _person(change[2])
        yield Told("substitution", change[1], side, name, comes)
        yield from _marks(comes, after, side)


def _outer(text: str) -> str:
    """The text without what stands in round brackets."""
    kept, depth = "", 0
    for letter in text:
        depth += letter == "("
        kept += letter if depth == 0 else ""
        depth -= letter == ")"
    return kept


# ----- squads -----


@dataclass(frozen=True)
class Squad:
    """The players of a team with their numbers."""

    team: str
    players: tuple[tuple[int, str, str], ...]


def squads(folder: Path, year: int) -> dict[str, Squad]:
    """Number, name and position of everybody, by team."""
    text = (folder / WORLD_CUP / "more" / f"{year}_squads.txt").read_text(encoding="utf-8")
    found: dict[str, Squad] = {}
    team = ""
    for line in text.splitlines():
        heading = re.match(r"^==+ ([^#]+?)\s*(?:#.*)?$", line)
        row = re.match(r"^\s*(\d{1,2}|-)\s*,\s*([^,]+?)\s*,\s*([A-Z]{2})", line)
        if heading:
            team = heading[1].strip()
        elif row:
            number = int(row[1]) if row[1].isdecimal() else -1
            before = found[team].players if team in found else ()
            found[team] = Squad(team, (*before, (number, row[2], row[3])))
    return found


# ----- to a fold -----


def sheet_of(match: OpenMatch, squad: dict[str, Squad] | None = None) -> TeamSheet:
    """A team sheet: the squad's numbers where the name is in it, else numbers from 100 on."""
    people: list[Person] = []
    for side, team in ((HOME, match.home), (AWAY, match.away)):
        known = {folded(n): (i, p) for i, n, p in squad[team].players} if squad else {}
        starters = match.line_ups.get(side, ())
        taken: set[int] = set()
        for index, name in enumerate(_names(match, side)):
            number, position = known.get(folded(name), (100 + index, ""))
            if number < 1 or number in taken:
                number = 100 + index
            taken.add(number)
            role = Role.GOALKEEPER if position == "GK" or index == 0 else Role.PLAYER
            people.append(
                Person(numbered_id(side, number), name, role, side, number, starts=name in starters)
            )
    home, away = match.home, match.away
    return TeamSheet(SidePeople(home, home), SidePeople(away, away), tuple(people))


def _names(match: OpenMatch, side: Side) -> list[str]:
    """Everybody named for a side, the line-up first."""
    names = dict.fromkeys(match.line_ups.get(side, ()))
    for told in (*match.told, *match.kicks):
        own = told.how == "own goal"
        if (told.side.other if own else told.side) is side:
            known = _same(told.name, names)
            if known is None and told.name:
                names[told.name] = None
            if told.other:
                names[told.other] = None
    return list(names)


def _same(name: str, names: dict[str, None] | list[str]) -> str | None:
    """The listed name that is the same, also when written a little differently."""
    plain = folded(name)
    return next((n for n in names if folded(n) == plain), None)


COLUMNS = ("period", "clock", "minute", "kind", "side", "shirt", "other_shirt", "how", "note")


def log_rows(match: OpenMatch, sheet: TeamSheet) -> list[list[str]]:
    """The match as rows of a log: minutes alone, no whistles."""
    shirts = {(p.side, folded(p.printed_name)): str(p.number) for p in sheet.people}

    def shirt(side: Side, name: str) -> str:
        return shirts.get((side, folded(name)), "") if name else ""

    def order(told: Told) -> tuple[MinuteLabel, int]:
        return MinuteLabel.read(told.minute), 0 if told.kind == "substitution" else 1

    rows = []
    for told in sorted(match.told, key=order):
        of = told.side.other if told.how == "own goal" else told.side
        rows.append(
            ["", "", told.minute, told.kind, told.side.value, shirt(of, told.name),
             shirt(told.side, told.other), told.how, ""]
        )  # fmt: skip
    for kick in match.kicks:
        rows.append(
            ["5", "", "", kick.kind, kick.side.value, shirt(kick.side, kick.name), "",
             kick.how, ""]
        )  # fmt: skip
    return rows


def log_csv(rows: list[list[str]]) -> str:
    """Rows as the text of a CSV file."""
    lines: list[str] = []

    class _Out:
        def write(self, text: str) -> None:
            lines.append(text)

    writer = csv.writer(_Out(), lineterminator="\n")  # type: ignore[arg-type]
    writer.writerow(COLUMNS)
    writer.writerows(rows)
    return "".join(lines)


KICK_OFF = instant(datetime(2026, 5, 2, 15, 0, tzinfo=UTC))


def fold_of(match: OpenMatch, sheet: TeamSheet | None = None, rules: Rules | None = None) -> Fold:
    """The fold of a match by way of its log as CSV."""
    people = sheet or sheet_of(match)
    log = read_log_csv(log_csv(log_rows(match, people)), people, typed=KICK_OFF)
    fixture = Fixture(
        "open", match.home, match.away, "open data", KICK_OFF, "UTC", rules=rules or Rules()
    )
    return Fold(fixture, people, log)
