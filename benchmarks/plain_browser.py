"""A browser that nobody records: driven over its debugging pipe, with nothing else switched on.

Playwright has every page's traffic recorded, and the bytes of each answer stay in the page's own
process as long as it lives; they would be counted as the page's memory. Linux only.
"""

from __future__ import annotations

import json
import os
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

_READS, _WRITES = 3, 4
"""Where Chromium expects its debugging pipe."""


class PlainPage:
    """One page of such a browser."""

    def __init__(self, commands: int, answers: int, pid: int) -> None:
        self._commands = commands
        self._answers = os.fdopen(answers, "rb", buffering=0)
        self._number = 0
        self._left = b""
        self._session = ""
        self.browser_pid = pid

    def open(self, address: str, width: int, height: int) -> None:
        """Opens a page at that address."""
        target = self.send("Target.createTarget", url="about:blank", newWindow=True,
                           width=width, height=height)  # fmt: skip
        self._session = self.send(
            "Target.attachToTarget", targetId=target["targetId"], flatten=True
        )["sessionId"]
        self.send("Page.navigate", url=address)
        self.wait_for("document.readyState === 'complete'")

    def evaluate(self, code: str) -> Any:
        """The value of an expression, or of the promise that it gives."""
        done = self.send("Runtime.evaluate", expression=code, awaitPromise=True, returnByValue=True)
        return done["result"].get("value")

    def wait_for(self, code: str, most_s: float = 60.0) -> None:
        """Waits until an expression is true."""
        until = time.monotonic() + most_s
        while not self.evaluate(code):
            assert time.monotonic() < until, code
            time.sleep(0.05)

    def press(self, key: str) -> None:
        """One key, down and up."""
        for kind in ("rawKeyDown", "keyUp"):
            self.send("Input.dispatchKeyEvent", type=kind, key=key, code=key)

    def collect_garbage(self) -> None:
        """Has the page's garbage collected now, for when the browser does it is its own affair."""
        self.send("HeapProfiler.collectGarbage")

    def send(self, method: str, **parameters: object) -> Any:
        """One command of the DevTools protocol, and its answer."""
        self._number += 1
        command: dict[str, object] = {"id": self._number, "method": method, "params": parameters}
        if self._session:
            command["sessionId"] = self._session
        os.write(self._commands, json.dumps(command).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                assert "error" not in answer, answer["error"]
                return answer["result"]

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._left:
            read = self._answers.read(1 << 20)
            assert read, "the browser is gone"
            self._left += read
        one, _, self._left = self._left.partition(b"\0")
        answer: dict[str, Any] = json.loads(one)
        return answer


@contextmanager
def plain_page(
    path: str, arguments: Sequence[str], address: str, width: int, height: int
) -> Iterator[PlainPage]:
    """A page at that address, until the block ends."""
    to_browser, from_us = os.pipe()
    to_us, from_browser = os.pipe()

    def connect() -> None:
        ends = os.dup(to_browser), os.dup(from_browser)
        os.dup2(ends[0], _READS)
        os.dup2(ends[1], _WRITES)

    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        process = subprocess.Popen(
            [path, "--headless", "--remote-debugging-pipe", f"--user-data-dir={profile}",
             *arguments],
            close_fds=False, preexec_fn=connect, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        try:
            page = PlainPage(from_us, to_us, process.pid)
            page.open(address, width, height)
            yield page
        finally:
            process.terminate()
            process.wait()
