"""The phone that logs: paired by the laptop's code, its own clock wrong, at times out of reach.

It does what the phone's page does: a key stays in it until the laptop has answered.
"""

from __future__ import annotations

import http.client
import json
import re
import threading
import time
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from benchmarks.matchday.script import Clock, Day, Key
from setpiece.match.instants import instant

LEAD = timedelta(seconds=7.5)
"""So much the phone's own clock is ahead of the laptop's."""

SAMPLES, TRY_AGAIN_S = 5, 0.5
_CODE = re.compile(r'class="code"[^>]*>(\d{6})<')


@dataclass
class Heard:
    """What the phone met."""

    unreachable: int = 0
    sent_twice: int = 0
    wrong: list[str] = field(default_factory=list)


class Phone(threading.Thread):
    """Presses the keys of the script at their times."""

    def __init__(self, day: Day, clock: Clock, port: int, folder: str) -> None:
        super().__init__(name="phone", daemon=True)
        self._day, self._clock, self._port = day, clock, port
        self._match = f"/phone/match/{folder}"
        self._token = ""
        self._offset = timedelta(0)
        self._waiting: list[Key] = []
        self._lose_answer = True
        self.heard = Heard()
        self.trouble: BaseException | None = None

    def pair(self) -> None:
        """Pairs with the laptop that runs, and measures how far its clock is off."""
        found = _CODE.search(self._ask("GET", "/phones")[1].decode())
        assert found, "the laptop shows no code"
        status, _, cookie = self._ask("POST", "/phone/pair", {"code": found[1], "name": "phone"})
        assert status == 200, "the phone was not paired"
        self._token = cookie.split(";")[0]
        self._compare()

    def run(self) -> None:
        """The thread."""
        try:
            for key in self._day.keys:
                self._until(key.typed)
                self._waiting.append(key)
                self._flush()
            while self._waiting:
                time.sleep(TRY_AGAIN_S)
                self._flush()
        except BaseException as error:
            self.trouble = error

    def _until(self, then: Any) -> None:
        while (left_s := (then - self._clock.now()).total_seconds() / self._clock.speed) > 0:
            time.sleep(min(left_s, TRY_AGAIN_S))
            if self._waiting:
                self._flush()

    def _flush(self) -> None:
        """Sends what waits; whatever goes wrong, it is sent again."""
        first, last = self._day.unreachable
        if first <= self._clock.now() < last:
            self.heard.unreachable += 1
            return
        sent = list(self._waiting)
        keys = [{"at": self._at(k), "line": k.line, "act": "log"} for k in sent]
        try:
            status, body, _ = self._ask("POST", f"{self._match}/keys", {"keys": keys})
        except (OSError, http.client.HTTPException):
            self.heard.unreachable += 1
            return
        if status != 200:
            self.heard.unreachable += 1
            return
        if self._lose_answer:  # the first answer never gets here
            self._lose_answer = False
            self.heard.sent_twice += len(sent)
            return
        self.heard.wrong += [o["wrong"] for o in json.loads(body) if o["wrong"]]
        del self._waiting[: len(sent)]

    def _at(self, key: Key) -> str:
        at = instant(key.typed + LEAD + self._offset)
        return f"{at:%Y-%m-%dT%H:%M:%S}.{at.microsecond // 1000:03d}Z"

    def _compare(self) -> None:
        """The exchange that took least time says best how far the clocks are apart."""
        found = []
        for _ in range(SAMPLES):
            began = self._clock.now()
            _, body, _ = self._ask("GET", "/phone/time")
            ended = self._clock.now()
            middle_s = ((began + (ended - began) / 2) + LEAD).timestamp()
            found.append((ended - began, json.loads(body)["ms"] / 1000 - middle_s))
        self._offset = timedelta(seconds=min(found)[1])

    def _ask(self, method: str, path: str, value: object = None) -> tuple[int, bytes, str]:
        host = f"127.0.0.1:{self._port}"
        connection = http.client.HTTPConnection(host, timeout=20)
        headers = {"origin": f"http://{host}", "content-type": "application/json"}
        if self._token:
            headers["cookie"] = self._token
        body = None if value is None else json.dumps(value)
        try:
            connection.request(method, path, body, headers)
            answer = connection.getresponse()
            return answer.status, answer.read(), answer.headers.get("set-cookie", "")
        finally:
            connection.close()
