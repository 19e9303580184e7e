"""Random lines that a photographer could type, each with what its caption must say."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field

import plain
from plain import Event, Match

NEAR_S = 240
"""A celebration belongs to the one goal of its side in the four minutes before it."""

SOLO = [
    "shoots", "heads", "passes", "crosses", "dribbles", "runs with ball", "controls", "shields",
    "clears", "jumps", "appeals", "misses", "hits post", "takes corner", "takes free kick",
    "takes throw-in", "volleys", "falls",
]  # fmt: skip
ANYWHERE = ["reacts", "shouts", "gestures", "looks on", "thanks supporters", "waves"]
DUEL = ["tackles", "challenges", "fouls", "jumps with", "chases", "shields ball", "dribbles past"]
MATES = ["embraces", "consoles", "talks to", "high fives"]
KEEPER = ["saves", "punches", "catches"]
BENCH = ["sits on bench", "warms up as substitute"]
CROWD = ["wave flags", "sing", "holds banner", "react"]
TAILS = ["", "", "", "", " in midfield", " in rain", " from distance", " arms raised", " in box"]


@dataclass
class Named:
    """Somebody the caption must name: the number worn then, and the placement that was typed."""

    id: str
    number: int | None
    place: str = ""


@dataclass
class Case:
    """A line at a second, and the truth of its caption."""

    line: str
    at_s: float
    people: list[Named] = field(default_factory=list)
    score: tuple[int, int] | None = None
    minute: str | None = None
    bound: bool = False
    said: bool = False
    scorer: str = ""
    how: str = ""
    disallowed: bool = False


class Lines:
    """Makes random valid lines of one match."""

    def __init__(self, match: Match, chance: random.Random) -> None:
        self.match = match
        self.chance = chance
        self.goals = [e for e in match.events if e.kind == "goal"]
        self.cards = [e for e in match.events if e.kind in ("yellow", "red")]
        self.subs = [e for e in match.events if e.kind == "substitution"]

    def case(self) -> Case:
        """One line; the kinds come as often as they do in a set."""
        makers: list[tuple[int, Callable[[], Case | None]]] = [
            (6, self.solo), (6, self.duel), (3, self.anywhere), (3, self.mates), (2, self.keeper),
            (2, self.bench), (2, self.crowd), (1, self.view), (2, self.coach), (4, self.scores),
            (6, self.joy), (3, self.joy_with), (2, self.joy_of_three), (2, self.joy_later),
            (2, self.card), (3, self.change), (1, self.someone),
        ]  # fmt: skip
        while True:
            weights, chosen = zip(*makers, strict=True)
            made = self.chance.choices(chosen, weights)[0]()
            if made is not None:
                return made

    # ----- who and when -----

    def second(self) -> float:
        """A second in play, clear of minutes' ends and of anything that happens."""
        while True:
            period, start, end = self.chance.choice(self.match.periods)
            at = round(self.chance.uniform(start + 2, end - 2), 1)
            into = (at - start) % 60
            clear = all(abs(e.at_s - at) > 2 for e in self.match.events)
            if 1 < into < 59 and clear and period in (1, 2, 3, 4):
                return at

    def player(self, side: str, at: float, *, keeper: bool | None = False) -> str:
        on = list(plain.on_pitch(self.match, side, at))
        fits = [p for p in on if keeper is None or (self._keeps(p) is keeper)]
        return self.chance.choice(fits)

    def _keeps(self, person: str) -> bool:
        return self.match.person(person).role == "goalkeeper"

    def worn(self, person: str, at: float) -> int | None:
        someone = self.match.person(person)
        on = plain.on_pitch(self.match, someone.side, at) if someone.side else {}
        return on.get(person, someone.number)

    def typed(self, person: str, at: float) -> str:
        """A person as typed: shirt, colour and number, or the whole name."""
        someone = self.match.person(person)
        number = self.worn(person, at)
        club = self.match.club(someone.side)
        if number is None or self.chance.random() < 0.12:
            return someone.name.lower()
        keeps = someone.role == "goalkeeper"
        if self.chance.random() < 0.1 and not keeps:
            return f"{club.colour} {number}"
        return f"{number}{club.keeper_letter if keeps else club.letter}"

    def named(self, person: str, at: float, place: str = "") -> Named:
        return Named(person, self.worn(person, at), place)

    def side(self) -> str:
        return self.chance.choice(("home", "away"))

    def _frame_minute(self, case: Case) -> Case:
        if not case.bound:
            case.minute = plain.minute(self.match, case.at_s)
        return case

    # ----- kinds of lines -----

    def solo(self) -> Case:
        at, side = self.second(), self.side()
        who = self.player(side, at)
        line = f"{self.typed(who, at)} {self.chance.choice(SOLO)}{self.chance.choice(TAILS)}"
        return self._frame_minute(Case(line, at, [self.named(who, at)]))

    def anywhere(self) -> Case:
        at, side = self.second(), self.side()
        who = self.player(side, at, keeper=None)
        line = f"{self.typed(who, at)} {self.chance.choice(ANYWHERE)}"
        return self._frame_minute(Case(line, at, [self.named(who, at)]))

    def duel(self) -> Case:
        at, side = self.second(), self.side()
        who = self.player(side, at)
        foe = self.player("away" if side == "home" else "home", at)
        line = f"{self.typed(who, at)} {self.chance.choice(DUEL)} {self.typed(foe, at)}"
        return self._frame_minute(Case(line, at, [self.named(who, at), self.named(foe, at)]))

    def mates(self) -> Case | None:
        at, side = self.second(), self.side()
        who, other = self.player(side, at), self.player(side, at)
        if who == other:
            return None
        place = self.chance.choice(("left", "right", "centre"))
        verb = self.chance.choice(MATES)
        line = f"{self.typed(who, at)} {verb} {self.typed(other, at)} {place}"
        people = [self.named(who, at), self.named(other, at, place)]
        return self._frame_minute(Case(line, at, people))

    def keeper(self) -> Case | None:
        at, side = self.second(), self.side()
        who = plain.keeper(self.match, side, at)
        if who is None:
            return None
        line = f"{self.typed(who, at)} {self.chance.choice(KEEPER)}"
        return self._frame_minute(Case(line, at, [self.named(who, at)]))

    def bench(self) -> Case | None:
        at, side = self.second(), self.side()
        sitting = plain.bench(self.match, side, at)
        if not sitting:
            return None
        who = self.chance.choice(sitting)
        line = f"{self.typed(who, at)} {self.chance.choice(BENCH)}"
        return self._frame_minute(Case(line, at, [self.named(who, at)]))

    def crowd(self) -> Case:
        at, side = self.second(), self.side()
        line = f"{self.match.club(side).letter} supporters {self.chance.choice(CROWD)}"
        return self._frame_minute(Case(line, at))

    def view(self) -> Case:
        return self._frame_minute(Case("general view", self.second()))

    def coach(self) -> Case:
        at, side = self.second(), self.side()
        coach = next(p for p in self.match.people if p.side == side and p.role in COACHES)
        verb = self.chance.choice(("reacts", "shouts", "gives instructions", "looks on"))
        line = f"{self.match.club(side).letter} coach {verb}"
        return self._frame_minute(Case(line, at, [Named(coach.id, None)]))

    def scores(self) -> Case | None:
        if not self.goals:
            return None
        goal = self.chance.choice(self.goals)
        at = round(goal.at_s + self.chance.uniform(-0.8, 3), 1)
        mine = [g for g in self.goals if g.person == goal.person and abs(g.at_s - at) < 60]
        on = plain.on_pitch(self.match, self.match.person(goal.person).side, goal.at_s)
        if len(mine) > 1 or abs(at - goal.at_s) < 0.4 or goal.person not in on:
            return None
        word = "scores own goal" if goal.how == "own goal" else "scores"
        line = f"{self.typed(goal.person, goal.at_s)} {word}"
        return self._of_goal(Case(line, at, [self.named(goal.person, goal.at_s)]), goal)

    def _of_goal(self, case: Case, goal: Event) -> Case:
        made = dict((id(e), s) for e, s in plain.goals(self.match, goal.at_s))
        case.score, case.minute, case.bound = made[id(goal)], goal.minute, True
        case.scorer, case.how = goal.person, goal.how
        case.disallowed = goal.standing == "disallowed"
        return case

    def _near(self, side: str, at: float) -> list[Event]:
        return [g for g in self.goals if g.side == side and at - NEAR_S - 2 <= g.at_s <= at + 2]

    def _joy_second(self) -> tuple[float, Event] | None:
        if not self.goals:
            return None
        goal = self.chance.choice(self.goals)
        at = round(goal.at_s + self.chance.uniform(4, 110), 1)
        if len(self._near(goal.side, at)) != 1:
            return None
        if any(abs(e.at_s - at) < 2 for e in self.match.events):
            return None
        period = next((p for p in self.match.periods if p[1] <= at < p[2]), None)
        return (at, goal) if period else None

    def joy(self) -> Case | None:
        found = self._joy_second()
        if found is None:
            return None
        at, goal = found
        scorer_on = goal.person in plain.on_pitch(self.match, goal.side, at)
        kind = self.chance.random()
        if kind < 0.25:
            return self._of_goal(
                Case(f"{self.match.club(goal.side).letter} supporters celebrate", at), goal
            )
        who = goal.person if scorer_on and kind < 0.7 else self.player(goal.side, at)
        line = f"{self.typed(who, at)} {self._celebrates()}"
        return self._of_goal(Case(line, at, [self.named(who, at)]), goal)

    def _celebrates(self) -> str:
        return self.chance.choice(("celebrates", "celebrates", "celebrating", "celebates"))

    def joy_with(self) -> Case | None:
        found = self._joy_second()
        if found is None:
            return None
        at, goal = found
        who, other = self.player(goal.side, at), self.player(goal.side, at)
        if who == other:
            return None
        place = self.chance.choice(("left", "right"))
        line = f"{self.typed(who, at)} {self._celebrates()} with {self.typed(other, at)} {place}"
        people = [self.named(who, at), self.named(other, at, place)]
        return self._of_goal(Case(line, at, people), goal)

    def joy_of_three(self) -> Case | None:
        found = self._joy_second()
        if found is None:
            return None
        at, goal = found
        three = {self.player(goal.side, at) for _ in range(3)}
        if len(three) < 3:
            return None
        order = sorted(three)
        self.chance.shuffle(order)
        line = ", ".join(self.typed(p, at) for p in order) + " celebrate in order"
        places = ("left", "centre", "right")
        people = [self.named(p, at, w) for p, w in zip(order, places, strict=True)]
        return self._of_goal(Case(line, at, people), goal)

    def joy_later(self) -> Case | None:
        """`after 74 goal`, later in the match."""
        if not self.goals:
            return None
        goal, at = self.chance.choice(self.goals), self.second()
        same = [g for g in self.goals if g.minute == goal.minute]
        if at < goal.at_s + 5 or len(same) != 1:
            return None
        who = self.player(goal.side, at)
        mark = self.chance.choice(("'", ""))
        line = f"{self.typed(who, at)} celebrates after {goal.minute}{mark} goal"
        case = self._of_goal(Case(line, at, [self.named(who, at)], said=True), goal)
        case.minute = None
        return case

    def card(self) -> Case | None:
        cards = [c for c in self.cards if c.kind == "yellow"]
        if not cards:
            return None
        card = self.chance.choice(cards)
        at = round(card.at_s + self.chance.uniform(1, 15), 1)
        kinds = ("yellow", "second yellow", "red")
        mine = [c for c in self.match.events if c.kind in kinds and c.person == card.person]
        near = [c for c in mine if c is not card and abs(c.at_s - at) < 150]
        if near or any(abs(e.at_s - at) < 0.5 for e in self.match.events):
            return None
        if card.person not in plain.on_pitch(self.match, card.side, at):
            return None
        ref = next(p for p in self.match.people if p.role == "referee")
        people = [Named(ref.id, None), self.named(card.person, at)]
        line = f"ref yellow {self.typed(card.person, at)}"
        return Case(line, at, people, minute=card.minute, bound=True)

    def change(self) -> Case | None:
        if not self.subs:
            return None
        sub = self.chance.choice(self.subs)
        at = round(sub.at_s + self.chance.uniform(1, 20), 1)
        if any(abs(e.at_s - at) < 0.5 for e in self.match.events):
            return None
        on, off = sub.other, sub.person
        line = f"{self.typed(on, at)} replaces {self.typed(off, at)}"
        people = [self.named(on, at), self.named(off, at)]
        played = any(start <= at < end for _, start, end in self.match.periods)
        return Case(line, at, people, minute=sub.minute if played else None, bound=True)

    def someone(self) -> Case | None:
        found = self._joy_second()
        if found is None:
            return None
        at, goal = found
        who = self.player(goal.side, at)
        word = self.chance.choice(("someone", "?"))
        line = f"{self.typed(who, at)} celebrates with {word} left"
        return self._of_goal(Case(line, at, [self.named(who, at)]), goal)


COACHES = ("head coach", "manager")
