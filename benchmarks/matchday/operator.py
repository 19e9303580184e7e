"""The operator: works the day through the page, by keyboard alone, at the times of the script."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from benchmarks.matchday.hand import SAID, Hand, NeverCame
from benchmarks.matchday.laptop import Disk, Laptop
from benchmarks.matchday.script import CHANGE, DISK_FULL_S, NIGHT_FROM_S, Chosen, Clock, Day
from setpiece.match.instants import Instant, instant

SHOWN = """([frame, same]) => {
  const open = document.querySelector('[data-opened]');
  const picture = open?.querySelector('.pic :is(canvas, img)');
  const bare = !!open?.querySelector('.pic .bare');
  const drawn = bare || !!picture?.width && picture.complete !== false;
  return drawn && (open.dataset.opened === frame) === same;
}"""
"""Whether that frame, or another, is open with its picture drawn, or told not to be there yet."""

CAPTIONED = "t => document.querySelector('.capt .typed kbd')?.textContent === t"
USED = "!!document.querySelector('.pic.use')"
NEIGHBOUR = "side => document.querySelector('[data-opened]')?.dataset[side] ?? ''"
FRAME = "document.querySelector('[data-opened]')?.dataset.opened ?? ''"
GOAL_ENTRY = """n => [...document.querySelectorAll('.say')]
  .find(s => s.textContent.includes(n))?.dataset.entry ?? ''"""
PUT_RIGHT = "!!document.querySelector('.part.put-right')?.textContent.includes('send correc')"
ASKED = "!!document.querySelector('.part.asks')?.textContent.includes('fit')"
NOT_ASKED = "!document.querySelector('.part.asks')"

SEEN_AGAIN_S, TRIES_S = 0.4, 300.0
FOUND_S = 1800.0
"""Cards that fill faster than they are taken in have their older frames taken in last."""


@dataclass
class Notes:
    """What the operator did, as the page confirmed it."""

    captioned: dict[str, str] = field(default_factory=dict)
    used: set[str] = field(default_factory=set)
    frames: dict[str, str] = field(default_factory=dict)
    noted: list[str] = field(default_factory=list)
    refusals: list[str] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)
    late_s: float = 0.0
    killed: Instant | None = None
    corrected: str = ""
    answered: str = ""


AtDesks = Callable[[Iterable[str]], bool]


class Operator:
    """One photographer at the laptop; `at_desks` tells whether every desk has those frames."""

    def __init__(self, day: Day, clock: Clock, laptop: Laptop, disk: Disk, cards: str,
                 hand: Hand, folder: str, at_desks: AtDesks) -> None:  # fmt: skip
        self.day, self.clock, self.laptop, self.disk = day, clock, laptop, disk
        self.cards, self.hand, self.folder, self.at_desks = cards, hand, folder, at_desks
        self.notes = Notes()
        self._since_sent = self._noted = 0

    @property
    def page(self) -> str:
        """The match's page."""
        return f"{self.laptop.address}/match/{self.folder}"

    def work(self) -> None:
        """The whole match, in the order of the script's times."""
        self.hand.open_page(self.page)
        for at, act in sorted(self._acts(), key=lambda a: a[0]):
            self.clock.wait(at)
            late_s = (self.clock.now() - at).total_seconds()
            self.notes.late_s = max(self.notes.late_s, late_s)
            act()
        self._take()
        self._send()

    def night(self) -> None:
        """The laptop is closed, and opened again just before the clocks are set back."""
        self._all_sent()
        self.laptop.stop()
        self.clock.set_on(instant(CHANGE + timedelta(seconds=NIGHT_FROM_S)))
        self.laptop.start()

    def after_midnight(self) -> None:
        """The last frames are taken in, captioned and sent."""
        self.hand.open_page(self.page, cause="laptop opened again")
        self.clock.wait(instant(CHANGE + timedelta(seconds=50)))
        self._take()
        for chosen in self.day.night_chosen:
            self._caption(chosen)
        self._send()
        self._all_sent()

    def _acts(self) -> Iterator[tuple[Instant, Callable[[], None]]]:
        day, form = self.day, self.day.form
        at = day.exposures[0].true
        while at < day.ends:
            at = instant(at + timedelta(seconds=form.take_every_s))
            yield at, self._take
        for chosen in day.chosen:
            # half a minute after the first taking in that finds it on the card
            ready = chosen.exposure.true + timedelta(seconds=form.take_every_s + 30)
            yield instant(ready), lambda c=chosen: self._caption(c)  # type: ignore[misc]
        yield day.at(1, 1.0, 0.3 * form.break_s), self._half_time
        yield day.at(2, 0.2), self._killed
        yield day.at(2, 0.4), self._request
        yield day.disk_full, self._full_disk
        yield day.at(2, 0.7), self._correct

    # ----- the usual -----

    def _take(self) -> None:
        taken = self.hand.enter(f"take {self.cards}", "take begun")
        if not taken.done:
            self.notes.refusals.append(f"take: {taken.said}")

    def _send(self) -> None:
        self._since_sent = 0
        taken = self.hand.enter("send", "send begun")
        if not taken.done:
            self.notes.refusals.append(f"send: {taken.said}")

    def _half_time(self) -> None:
        """Takes in, and sends what is left."""
        self._take()
        self._send()

    def _open(self, chosen: Chosen) -> None:
        """Opens the frame by its name, as soon as its card was taken in."""
        name = chosen.exposure.name
        until = time.monotonic() + FOUND_S
        while True:
            taken = self.hand.enter(f"open {name}", "frame found by name")
            if taken.done:
                break
            if time.monotonic() > until:
                raise NeverCame(f"{name} never was on the page: {taken.said}")
            time.sleep(SEEN_AGAIN_S)
            self._take_again()
        self.hand.wait("opened frame shown", SHOWN, [taken.frames[0], True])
        self.notes.frames[name] = taken.frames[0]

    def _take_again(self) -> None:
        """A run that ended before the frame was made does not bring it."""
        if not self.hand.tab.evaluate("!document.querySelector('[data-jobs]').hidden"):
            self._take()

    def _walk(self) -> None:
        """One frame on and back, as one does who chooses."""
        for key in ("ArrowRight", "ArrowLeft"):
            side = "next" if key == "ArrowRight" else "previous"
            if not self.hand.tab.evaluate(NEIGHBOUR, side):
                return
            before = self.hand.tab.evaluate(FRAME)
            self.hand.press(key)
            self.hand.wait("next frame shown", SHOWN, [before, False])

    def _caption(self, chosen: Chosen) -> None:
        self._open(chosen)
        self._walk()
        self._written(chosen)
        if not chosen.spare:
            self.hand.press("F2")
            self.hand.wait("decision shown", USED)
            self.notes.used.add(chosen.exposure.name)
            self._since_sent += 1
        if self._since_sent >= 4:
            self._send()

    def _written(self, chosen: Chosen) -> None:
        """The caption, typed until the page takes it."""
        name, until = chosen.exposure.name, time.monotonic() + TRIES_S
        while True:
            taken = self.hand.enter(chosen.line, "caption taken", read_first=True)
            if taken.done:
                break
            self.notes.refusals.append(f"{chosen.line}: {taken.said}")
            if time.monotonic() > until:
                raise NeverCame(f"{chosen.line} was never taken: {taken.said}")
            time.sleep(SEEN_AGAIN_S)
        self.hand.wait("caption shown", CAPTIONED, chosen.line)
        self.notes.captioned[name] = chosen.line

    # ----- what goes wrong, and what comes from outside -----

    def _killed(self) -> None:
        """The server dies while it takes in and sends, and is started again."""
        self._take()
        self._send()
        time.sleep(1.0)
        self.laptop.kill()
        self.notes.killed = self.clock.now()
        again = threading.Thread(target=self.laptop.start)
        again.start()
        self._take()  # the page says that its server is away, and the line waits
        again.join()

    def _request(self) -> None:
        """The city desk rings for a picture that was captioned and not sent."""
        spare = next(c for c in self.day.chosen if c.spare)
        if spare.exposure.name not in self.notes.captioned:
            raise NeverCame("the spare picture was not captioned before the desk rang")
        self._done("ask city 4r", "request taken")
        self.hand.wait("request shown", ASKED)
        self._done("answer", "answer taken")
        self.hand.wait("request gone from the margin", NOT_ASKED)
        self.notes.answered = spare.exposure.name

    def _full_disk(self) -> None:
        """For a minute nothing can be written; the operator goes on typing."""
        if self.disk.why_not:
            return
        self.disk.fill()
        ends = instant(self.clock.now() + timedelta(seconds=DISK_FULL_S))
        try:
            self._take()
            while self.clock.now() < ends:
                self._note()
                time.sleep(SEEN_AGAIN_S)
        finally:
            self.disk.free()
        self.notes.troubles.append(f"as the full disk ended: {self.hand.tab.evaluate(SAID)}")
        self._note()

    def _note(self) -> None:
        """A remark in the log, of a number of its own; what the page took must be there."""
        self._noted += 1
        text = f"remark number {self._noted}"
        taken = self.hand.enter(f"note {text}", "note logged")
        if taken.done:
            self.notes.noted.append(text)
        else:
            self.notes.refusals.append(f"note on a full disk: {taken.said}")

    def _correct(self) -> None:
        """The first goal was not hers: the log says so, and the pictures are put right.

        The desks have them by then, or as good as.
        """
        wrong = [self.notes.frames[c.exposure.name] for c in self.day.chosen if c.tells_goal]
        until = time.monotonic() + TRIES_S
        while not self.at_desks(wrong) and time.monotonic() < until:
            time.sleep(SEEN_AGAIN_S)
        entry = self.hand.tab.evaluate(GOAL_ENTRY, "Signe Ørbeck")
        if not entry:
            raise NeverCame("the page shows no goal of hers")
        self._done(f"correct {entry} goal 11r", "correction logged")
        self.hand.wait("what is wrong shown", PUT_RIGHT)
        self._done("send corrections", "corrections begun")
        self.notes.corrected = entry

    def _done(self, text: str, what: str) -> None:
        until = time.monotonic() + TRIES_S
        while not (taken := self.hand.enter(text, what)).done:
            self.notes.refusals.append(f"{text}: {taken.said}")
            if time.monotonic() > until:
                raise NeverCame(f"{text} was never taken: {taken.said}")
            time.sleep(SEEN_AGAIN_S)

    def _all_sent(self) -> None:
        """Waits until every desk has the set: then the laptop may be closed."""
        wanted = [self.notes.frames[name] for name in self.notes.used]
        until = time.monotonic() + TRIES_S
        while not self.at_desks(wanted):
            if time.monotonic() > until:
                self.notes.troubles.append("not everything was sent when the laptop was closed")
                return
            time.sleep(SEEN_AGAIN_S)


@contextmanager
def browser() -> Iterator[Any]:
    """Chromium without a window."""
    import os
    import shutil

    from playwright.sync_api import sync_playwright

    from benchmarks.screen import CHROMIUM

    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=path, args=CHROMIUM)
        try:
            yield started
        finally:
            started.close()
