"""How fast a search of 250,000 captions is, and how large its index: against named floors.

The captions are invented: people, clubs and acts drawn so that a few words are very common and
most are rare. The floor of a search is reading as many rows by their key in the same run; that
of the index is the text itself. Short by default; `--long` is 250,000 captions.
Run: python benchmarks/find.py [--long]
"""

from __future__ import annotations

import random
import sqlite3
import statistics
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import perf_counter, process_time

from setpiece.match.instants import Instant, instant
from setpiece.match.names import folded
from setpiece.store.search import Condition, search
from setpiece.store.search_index import SearchRow, put_rows, tidy_index
from setpiece.store.workspace import DATABASE, Workspace
from setpiece.work.find.words import expression_of

SHORT, LONG, A_MATCH = 25_000, 250_000, 1_000
TARGET_MS, TARGET_SIZE = 50.0, 1.0
"""p95 of a search, and the index's size to that of the text."""

MOST, SEED = 50, 1863
FIRST = instant(datetime(2015, 8, 1, 14, 0, tzinfo=UTC))
ACTS = (
    ("celebrates", "celebration joy goal"), ("tackles", "tackle duel"), 
    ("heads the ball", "header"),
    ("reacts", "reaction dejection"), ("saves", "save goalkeeper"), ("shoots", "shot"),
    ("challenges", "duel"), ("applauds supporters", "applause supporters"), ("warms up", "warm-up"),
    ("hugs", "hug celebration"), ("argues", "protest referee"), ("lifts the trophy", "trophy joy"),
)  # fmt: skip
SITUATIONS = ("level drawing", "leading ahead winning", "losing behind trailing")
GOALS = ("", "", "", "equaliser equalizer", "opener opening", "winner winning")


class Stock:
    """Invented captions, the same in every run."""

    def __init__(self, count: int) -> None:
        self.chance = random.Random(SEED)
        syllables = [
            a + b for a in "bdfghklmnprstvz" for b in ("a", "e", "i", "o", "u", "ar", "en")
        ]

        def word(length: int) -> str:
            return "".join(self.chance.choice(syllables) for _ in range(length)).capitalize()

        self.clubs = [f"{word(2)} {word(1)}" for _ in range(60)]
        self.squads = {club: [f"{word(2)} {word(3)}" for _ in range(90)] for club in self.clubs}
        self.towns = [word(3) for _ in range(40)]
        self.count = count
        self.text_bytes = 0

    def match(self, number: int) -> list[SearchRow]:
        """The captions of one match."""
        chance, rows = self.chance, []
        home, away = chance.sample(self.clubs, 2)
        town = chance.choice(self.towns)
        kick_off = instant(FIRST + timedelta(days=number * 7 // 2))
        for index in range(A_MATCH):
            side, other = chance.sample((home, away), 2)
            people = [chance.choice(self.squads[side]), chance.choice(self.squads[other])]
            act, keywords = chance.choice(ACTS)
            minute = index * 90 // A_MATCH + 1
            score = (chance.randrange(3), chance.randrange(3))
            said = (
                f"{people[0]} of {side} {act} with {people[1]} of {other} during the match between "
                f"{home} and {away} in {town} on {kick_off:%A %d %B %Y}. The score was "
                f"{score[0]}–{score[1]} in the {minute}th minute of the league match."
            )
            goal = chance.choice(GOALS)
            texts = {
                "words": folded(f"{people[0]} {act}. {said}"),
                "people": folded(" ".join(people)),
                "sides": folded(f"{side} {other}"),
                "keywords": folded(keywords),
                "event": folded(f"Lantern League round {number % 34} {town} stadium"),
                "situation": f"{chance.choice(SITUATIONS)} {goal} {score[0]}to{score[1]}",
            }
            self.text_bytes += sum(len(t.encode()) for t in texts.values())
            rows.append(
                SearchRow(
                    f"f{number:05x}{index:07x}", 1, number, _at(kick_off, index), texts, minute,
                    "AB"[index % 2], "400mm f/2.8", (400.0, 70.0, 24.0)[index % 3], index % 5 == 0,
                )
            )  # fmt: skip
        return rows

    def searches(self, count: int) -> list[tuple[str, str, Condition]]:
        """The mix: kind, what is typed, condition."""
        chance = self.chance

        def person() -> str:
            return chance.choice(self.squads[chance.choice(self.clubs)])

        def slip(name: str) -> str:
            return name[:3] + name[4:]

        since = instant(FIRST + timedelta(days=200))
        mix = [
            ("a family name", lambda: (person().split()[1], Condition())),
            ("a whole name", lambda: (person(), Condition())),
            ("name and act", lambda: (f"{person().split()[1]} celebrates", Condition())),
            ("club and situation", lambda: (f"{chance.choice(self.clubs)} equaliser", Condition())),
            ("three common words", lambda: ("reacts losing score", Condition())),
            ("one very common word", lambda: ("match", Condition())),
            ("two very common words", lambda: ("celebrates score", Condition())),
            ("a slip", lambda: (slip(person().split()[1]), Condition())),
            ("a beginning", lambda: (person().split()[1][:4], Condition())),
            ("a phrase", lambda: ('"lifts the trophy"', Condition())),
            ("minute and lens", lambda: (
                "celebrates", Condition(minutes=(80, 90), focal_length_mm=(390.0, 410.0)))),
            ("dates", lambda: (
                chance.choice(self.clubs),
                Condition(since=since, until=instant(since + timedelta(days=365))))),
            ("upright, one camera", lambda: ("hug", Condition(upright=True, cameras=("B",)))),
            ("no words, newest", lambda: ("", Condition(upright=True))),
            ("score and side", lambda: (f"2-1 {chance.choice(self.clubs)}", Condition())),
            ("nothing", lambda: ("zzyzx qqq", Condition())),
        ]  # fmt: skip
        return [(kind, *make()) for kind, make in mix for _ in range(count // len(mix))]


def _at(kick_off: Instant, index: int) -> Instant:
    return instant(kick_off + timedelta(seconds=index * 6))


def index_bytes(space: Workspace) -> int:
    """What the index takes: its segments, sizes and directory."""
    with sqlite3.connect(space.folder / DATABASE) as raw:
        size = raw.execute(
            "SELECT sum(pgsize) FROM dbstat WHERE name LIKE 'find_index%'"
        ).fetchone()[0]
    raw.close()
    return int(size)


def main() -> None:
    """Print every figure with its target and its floor."""
    count = LONG if "--long" in sys.argv else SHORT
    stock = Stock(count)
    with tempfile.TemporaryDirectory() as folder:
        space = Workspace.create(Path(folder) / "space")
        began = perf_counter()
        for number in range(1, count // A_MATCH + 1):
            put_rows(space, number, stock.match(number), whole=True)
        tidy_index(space)
        built_s = perf_counter() - began
        size = index_bytes(space) / stock.text_bytes
        print(
            f"{count} captions, {stock.text_bytes / count:.0f} bytes each, {built_s:.0f} s to index"
        )
        print(f"index {size:.2f} x the text (target {TARGET_SIZE})")
        _searches(space, stock)
        space.close()


def _searches(space: Workspace, stock: Stock) -> None:
    taken: dict[str, list[float]] = {}
    hits: dict[str, list[int | None]] = {}
    worked: list[float] = []
    for kind, typed, condition in stock.searches(320):
        began, busy = perf_counter(), process_time()
        asked = expression_of(space, typed)
        found = (
            search(space, asked.match, condition, most=MOST, ranked=asked.ranked)
            if asked.possible
            else None
        )
        taken.setdefault(kind, []).append((perf_counter() - began) * 1e3)
        worked.append((process_time() - busy) * 1e3)
        hits.setdefault(kind, []).append(found.total if found else 0)
    every = sorted(ms for times in taken.values() for ms in times)
    with sqlite3.connect(space.folder / DATABASE) as raw:
        ids = [r[0] for r in raw.execute("SELECT id FROM find_row ORDER BY random() LIMIT 20000")]
        began = perf_counter()
        for number in ids[: MOST * 20]:
            raw.execute("SELECT * FROM find_row WHERE id = ?", (number,)).fetchone()
        floor_ms = (perf_counter() - began) * 1e3 / 20
    raw.close()
    p95 = every[int(len(every) * 0.95)]
    worked.sort()
    print(
        f"{len(every)} searches: median {statistics.median(every):.1f} ms, p95 {p95:.1f} ms "
        f"(target {TARGET_MS}), slowest {every[-1]:.1f} ms; "
        f"p95 {p95 / floor_ms:.0f} x reading {MOST} rows by key ({floor_ms:.2f} ms); "
        f"of the processor p95 {worked[int(len(worked) * 0.95)]:.1f} ms"
    )
    for kind, times in taken.items():
        times.sort()
        shown = sorted((h if h is not None else 20_001) for h in hits[kind])[len(times) // 2]
        more = "more than 20000" if shown > 20_000 else str(shown)
        print(
            f"  {kind:24} median {statistics.median(times):6.1f} ms, slowest {times[-1]:6.1f} ms, "
            f"{more} hits"
        )


if __name__ == "__main__":
    main()
