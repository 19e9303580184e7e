"""The operator's hand: keys into the page, and every wait for it with what went on meanwhile."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.append(str(ROOT / "tests" / "web"))
Keyboard = import_module("keyboard").Keyboard

POLL_MS, KEY_MS = 8, 25
MOST_S = 90.0
"""A page that has not done its part by then never does."""

JOBS = "document.querySelector('[data-jobs]:not([hidden]) [data-job-what]')?.textContent ?? ''"
EMPTY_LINE = "document.querySelector('#line')?.value === ''"
GONE = "document.querySelector('[data-gone]')?.hidden === false"
READ = "t => document.querySelector('[data-ghost]')?.textContent.startsWith(t)"
OPEN = """() => {
  const open = document.querySelector('[data-opened]');
  return open ? `${open.dataset.handle}: ${open.querySelector('.capt')?.innerText}` : 'none open';
}"""
SAID = "document.querySelector('[data-said]')?.textContent ?? ''"


class NeverCame(Exception):
    """The page did not do its part."""


@dataclass(frozen=True)
class Waited:
    """One wait of the operator: for what, how long in our own seconds, what went on."""

    what: str
    seconds: float
    cause: str


@dataclass
class Taken:
    """How the page took a line: its answer's words, and whether it did it."""

    said: str
    done: bool
    frames: tuple[str, ...] = ()


class Hand(Keyboard):  # type: ignore[misc, valid-type]
    """Keys into the page; `meanwhile` tells what else goes on on this laptop."""

    def __init__(self, browser: Any, meanwhile: Callable[[], list[str]]) -> None:
        super().__init__(browser)
        self.waits: list[Waited] = []
        self._meanwhile = meanwhile
        self._answers: list[Any] = []
        self.tab.on("response", lambda r: self._heard(r.url, r))
        self.tab.on("requestfailed", lambda r: self._heard(r.url, None))

    def _heard(self, url: str, answer: Any) -> None:
        if url.endswith("/line"):
            self._answers.append(answer)

    def wait(self, what: str, expression: str, argument: object = None, *,
             began: float | None = None, cause: str = "") -> None:  # fmt: skip
        """Waits until that is true in the page, and keeps how long it took."""
        started = time.perf_counter() if began is None else began
        until = time.perf_counter() + MOST_S
        while not self.tab.evaluate(expression, argument):
            if time.perf_counter() > until:
                raise NeverCame(f"{what}: never true: {expression} {argument or ''}; {self.heard}")
            self.tab.wait_for_timeout(POLL_MS)
        self._keep(what, time.perf_counter() - started, cause)

    def _keep(self, what: str, seconds: float, cause: str) -> None:
        around = [cause] if cause else []
        if job := self.tab.evaluate(JOBS):
            around.append(str(job).lower())
        self.waits.append(Waited(what, seconds, "; ".join([*around, *self._meanwhile()])))

    @property
    def heard(self) -> str:
        """What the opened frame, the line and the margin say just now."""
        texts = [self.tab.evaluate(OPEN), self.tab.inner_text("form.line")]
        return " / ".join([*texts, self.tab.inner_text("aside")])[:900]

    def open_page(self, address: str, *, cause: str = "") -> None:
        """Goes to the page, by its address."""
        began = time.perf_counter()
        self.tab.goto(address)
        self.wait("page opened", "!!document.querySelector('#line')", began=began, cause=cause)

    def type(self, text: str) -> None:
        """Types as one who types well."""
        self.tab.keyboard.type(text, delay=KEY_MS)

    def enter(self, text: str, what: str, *, read_first: bool = False) -> Taken:
        """Types a line and has it done; where the server is away, again once it is back.

        With `read_first` Enter waits until the page has shown what it understood.
        """
        self.tab.evaluate("document.querySelector('#line')?.focus()")
        self.press("Control+a", "Backspace")
        self.type(text)
        if read_first:
            self.wait("line read", READ, text)
        cause = ""
        began = time.perf_counter()
        while True:
            answer = self._entered()
            if answer is not None:
                break
            cause = "server killed"
            self._until_back()
        taken = self._taken(answer)
        if taken.done:
            self.wait(what, EMPTY_LINE, began=began, cause=cause)
        else:
            self._keep(f"{what}, refused", time.perf_counter() - began, cause)
            self.press("Control+a", "Backspace")
        return taken

    def _entered(self) -> Any:
        """Presses Enter; the server's answer, None when there was none."""
        known = len(self._answers)
        self.press("Enter")
        until = time.perf_counter() + MOST_S
        while len(self._answers) == known:
            if time.perf_counter() > until:
                raise NeverCame(f"no answer to a line; {self.heard}")
            self.tab.wait_for_timeout(POLL_MS)
        return self._answers[-1]

    def _until_back(self) -> None:
        until = time.perf_counter() + MOST_S
        self.tab.wait_for_timeout(200)  # the page tells it a moment after the failed request
        while self.tab.evaluate(GONE):
            if time.perf_counter() > until:
                raise NeverCame("the page never found its server again")
            self.tab.wait_for_timeout(POLL_MS)

    def _taken(self, answer: Any) -> Taken:
        try:
            value = answer.json()
        except Exception:  # no JSON: an error page
            return Taken(f"{answer.status} {answer.status_text}", False)
        if "wrong" in value:
            return Taken(str(value["wrong"]["text"]), False)
        frames = tuple(value.get("frames", ()))
        return Taken(str(value.get("said", "")), answer.status == 200, frames)
