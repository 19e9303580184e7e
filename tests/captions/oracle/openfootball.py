"""Reads matches with line-ups, numbers, goals, cards and substitutions from the open files."""

from __future__ import annotations

import re
import unicodedata
from datetime import UTC, datetime, timedelta
from pathlib import Path

from plain import STARTS, Club, Event, Match, Someone

_SQUAD = re.compile(r"^\s*(\d+),\s*(.+?)\s*(?:\([^)]*\))?,\s*(GK|DF|MF|FW)\b")
_TEAM = re.compile(r"^== (.+?)\s+#")
_DATE = re.compile(
    r"^[A-Z][a-z]{2} ([A-Z][a-z]{2}) (\d{1,2}) (\d{1,2}):(\d{2}) UTC([+-]\d+) @ (.+?),"
)
_RESULT = re.compile(r"^  (\S.*?) v (\S.*?)\s+(\d+)-(\d+)(.*)$")
_PLAYER = re.compile(
    r"(?P<name>[^,()\[\]\-]+(?:-[^\s,()\[\]][^,()\[\]\-]*)*?)"
    r"(?P<marks>(?:\s*\[[^\]]*\])*)\s*(?P<sub>\((?:[^()]|\([^()]*\))*\))?\s*(?:,|\s-\s|$)"
)
MONTHS = {"Jun": 6, "Jul": 7, "May": 5}


def plain(name: str) -> str:
    folded = unicodedata.normalize("NFKD", name.casefold())
    return " ".join("".join(c for c in folded if not unicodedata.combining(c)).split())


def squads(path: Path) -> dict[str, dict[str, tuple[int, str, bool]]]:
    """By team and folded name: number, name, whether a goalkeeper."""
    teams: dict[str, dict[str, tuple[int, str, bool]]] = {}
    team = ""
    for line in path.read_text("utf-8").splitlines():
        if found := _TEAM.match(line):
            team = found[1].strip()
            teams[team] = {}
        elif (row := _SQUAD.match(line)) and team:
            name = " ".join(row[2].split())
            teams[team][plain(name)] = (int(row[1]), name, row[3] == "GK")
    return teams


def matches(full: Path, squad_file: Path, year: int, wanted: int) -> list[Match]:
    """The first matches of the file that have all that is needed, without extra time."""
    teams, found = squads(squad_file), []
    for block in re.split(r"\n\n\n+", full.read_text("utf-8")):
        match = _match(block, teams, year, len(found))
        if match is not None:
            found.append(match)
        if len(found) == wanted:
            break
    return found


def _match(block: str, teams: dict, year: int, index: int) -> Match | None:
    lines = block.strip("\n").splitlines()
    head = next((i for i, line in enumerate(lines) if _DATE.match(line)), None)
    if head is None or head + 1 >= len(lines):
        return None
    when, result = _DATE.match(lines[head]), _RESULT.match(lines[head + 1])
    if when is None or result is None or "a.e.t" in result[5] or "pen" in result[5]:
        return None
    home, away = result[1].strip(), result[2].strip()
    if home not in teams or away not in teams:
        return None
    text = "\n".join(lines[head + 2 :])
    scorers = re.search(r"^\s+\((.*?)\)\s*$", text.split(f"\n{home}:")[0], re.S | re.M)
    people: list[Someone] = []
    events: list[Event] = []
    for side, team in (("home", home), ("away", away)):
        told = re.search(rf"^{re.escape(team)}: (.*?)(?=^\S|\n\n|\Z)", text, re.S | re.M)
        if told is None or not _line_up(
            " ".join(told[1].split()), side, teams[team], people, events
        ):
            return None
    if scorers is None and int(result[3]) + int(result[4]):
        return None
    if scorers and not _goals(" ".join(scorers[1].split()), people, events):
        return None
    count = {s: sum(e.kind == "goal" and e.side == s for e in events) for s in ("home", "away")}
    if (count["home"], count["away"]) != (int(result[3]), int(result[4])):
        return None
    kick_off = datetime(year, MONTHS[when[1]], int(when[2]), int(when[3]), int(when[4]), tzinfo=UTC)
    kick_off -= timedelta(hours=int(when[5]))
    return _placed(f"wc{year}-{index}", home, away, kick_off, when[6], people, events)


def _line_up(text: str, side: str, squad: dict, people: list[Someone], events: list[Event]) -> bool:
    count = 0
    for player in _PLAYER.finditer(text):
        if not player["name"].strip():
            continue
        if not _add(player["name"], side, squad, people, True):
            return False
        count += 1
        person = people[-1].id
        _cards(player["marks"] or "", side, person, events)
        sub = player["sub"]
        while sub:
            inner = re.match(
                r"\(\s*(\d+(?:\+\d+)?)' ([^()\[]+?)\s*((?:\[[^\]]*\]\s*)*)(\(.*\))?\s*\)$", sub
            )
            if inner is None or not _add(inner[2], side, squad, people, False):
                return False
            events.append(Event(0, "substitution", side, person, people[-1].id, minute=inner[1]))
            person = people[-1].id
            _cards(inner[3] or "", side, person, events)
            sub = inner[4]
    used = {p.number for p in people if p.side == side}
    for number, name, is_keeper in squad.values():
        if number not in used:
            role = "goalkeeper" if is_keeper else "player"
            people.append(Someone(f"{side}-{number}", name, side, number, role))
    return count == 11


def _add(name: str, side: str, squad: dict, people: list[Someone], starts: bool) -> bool:
    row = squad.get(plain(name))
    if row is None:
        return False
    role = "goalkeeper" if row[2] else "player"
    people.append(Someone(f"{side}-{row[0]}", row[1], side, row[0], role, starts))
    return True


def _cards(marks: str, side: str, person: str, events: list[Event]) -> None:
    kinds = {"Y": "yellow", "Y/R": "second yellow", "R": "red"}
    for kind, at in re.findall(r"\[(Y/R|Y|R) (\d+(?:\+\d+)?)'\]", marks):
        events.append(Event(0, kinds[kind], side, person, minute=at))


def _goals(text: str, people: list[Someone], events: list[Event]) -> bool:
    sides = text.split(";") if ";" in text else [text]
    by_name: dict[str, list[Someone]] = {}
    for person in people:
        by_name.setdefault(plain(person.name), []).append(person)
    for index, part in enumerate(sides):
        name = ""
        for item in re.finditer(
            r"(?:,|^)\s*([^,\d']*?)\s*(\d+(?:\+\d+)?)'\s*(\(og\)|\(pen\))?", part.strip()
        ):
            name = item[1].strip() or name
            owners = by_name.get(plain(name), [])
            if len(owners) != 1:
                return False
            scorer, own = owners[0], item[3] == "(og)"
            side = scorer.side
            if own:
                side = "away" if scorer.side == "home" else "home"
            if len(sides) == 2 and side != ("home", "away")[index]:
                return False
            how = "own goal" if own else "penalty" if item[3] == "(pen)" else ""
            events.append(Event(0, "goal", side, scorer.id, how=how, minute=item[2]))
    return True


SECOND = {"substitution in": 4, "goal": 22, "yellow": 34, "second yellow": 38, "red": 38, "sub": 50}


def _placed(
    ident: str, home: str, away: str, kick_off: datetime, place: str, people: list[Someone],
    events: list[Event],
) -> Match:  # fmt: skip
    """Every event at a second of its minute, so that nobody acts before coming on."""
    longest = {1: 48, 2: 95}
    for event in events:
        base, _, added = event.minute.partition("+")
        period = 1 if int(base) <= 45 else 2
        longest[period] = max(longest[period], int(base) + int(added or 0) + 1)
    first_end = longest[1] * 60.0
    start = {1: 0.0, 2: first_end + 900}
    doing = {e.person for e in events if e.kind in ("goal", "yellow")}
    seen: dict[tuple[int, float], int] = {}
    for event in events:
        base, _, added = event.minute.partition("+")
        period = 1 if int(base) <= 45 else 2
        elapsed = (int(base) + int(added or 0) - 1 - STARTS[period]) * 60.0
        key = event.kind
        if key == "substitution":
            key = "substitution in" if event.other in doing else "sub"
        at = start[period] + elapsed + SECOND[key]
        nth = seen[(period, at)] = seen.get((period, at), 0) + 1
        event.at_s = at + 1.5 * (nth - 1)
    periods = [(1, 0.0, first_end), (2, start[2], start[2] + (longest[2] - 45) * 60.0)]
    clubs = (
        Club(home, home, "r", "red", "g", "green"),
        Club(away, away, "w", "white", "y", "yellow"),
    )
    return Match(
        ident, "World Tournament", "group stage", place, f"{place} City", "Somewhere",
        "Europe/Moscow", kick_off, *clubs, people, periods,
        sorted(events, key=lambda e: e.at_s),
    )  # fmt: skip
