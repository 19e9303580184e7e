"""The addresses of the page under requests that no page would send."""

from __future__ import annotations

import http.client
import json
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

import pytest
import schemathesis
import small_match
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis.checks import load_all_checks
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from served import HOSTS, NOW, Answer, Page
from told import told

from setpiece.web.app import make_app

load_all_checks()

CHECKS = [
    schemathesis.checks.not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
OURS = frozenset({"host", "origin", "cookie", "content-length", "content-type"})
"""Headers that every request must have right to get as far as an address at all."""


@pytest.fixture
def schema(own: small_match.Made) -> dict[str, Any]:
    """What the application says of its addresses, and what it may answer."""
    app = make_app(own.folder, now=lambda: NOW, hosts=HOSTS, phone_hosts=("127.0.0.1",))
    app.state.desk.close()
    return told(app)


def asked_of_all(schema: dict[str, Any], page: Page, phone: dict[str, str], examples: int) -> int:
    """Sends what schemathesis makes up to every address; the number of requests."""
    headers = {"origin": page.address} | phone
    sent = 0
    for found in schemathesis.openapi.from_dict(schema).get_all_operations():
        way = found.ok()
        if way.path.endswith("/news"):  # a stream that does not end: tests/web/test_acting.py
            continue

        @settings(
            max_examples=2 if way.path.endswith(".pdf") else examples,
            deadline=None,
            derandomize=True,  # the same requests every time: CI must not draw lots
            database=None,
            suppress_health_check=list(HealthCheck),
        )
        @given(way.as_strategy(), st.booleans())
        def one(case: schemathesis.Case, real: bool) -> None:
            nonlocal sent
            sent += 1
            if real and case.path_parameters and "folder" in case.path_parameters:
                case.path_parameters["folder"] = page.made.match.folder
            for name in [n for n in case.headers or {} if n.lower() in OURS]:
                del case.headers[name]
            answer = case.call(
                base_url=page.address, headers=headers, timeout=60, allow_redirects=False
            )
            case.validate_response(answer, checks=CHECKS, headers=headers)

        one()
    return sent


def test_every_address_answers_as_told(
    schema: dict[str, Any], lan: Page, phone: dict[str, str]
) -> None:
    """Made-up requests to every address end in no server error and in no untold answer."""
    assert asked_of_all(schema, lan, phone, 4) > 150


@pytest.mark.slow
def test_every_address_answers_as_told_at_length(
    schema: dict[str, Any], lan: Page, phone: dict[str, str]
) -> None:
    """The same with two hundred requests for each address."""
    assert asked_of_all(schema, lan, phone, 200) > 5000


DIGITS = "9" * 5000
WORDS = (
    "", "\0", "\ud800", "²", "../../../etc/passwd", "..\\..\\x", "{{ 7*7 }}", "A" * 100_000, DIGITS,
    "1e999", "0001-01-01T00:00", "9999-12-31T23:59", "Europe", "../../etc/localtime", "\u202ea\nb",
)  # fmt: skip
"""Texts that have broken programs: no letters, no digits, no places, no end."""

LINES = (
    "find \ud800", 'find "', "open ²", "overrule ² x", "overrule " + DIGITS, "crop ²,²,²,²",
    "crop 1e999,0,0,0", "crop " + DIGITS + ":5", "correct ² goal", f"correct {DIGITS} goal",
    "withdraw " + DIGITS, "withdraw ²", f"goal {DIGITS}r", "goal ²r", "²r shoots", DIGITS + "r",
    "answer " + DIGITS, "decline ² x", "send \0", "take \0", "kill \ud800", "log captain \0r",
)  # fmt: skip
NUMBERS = (-1, 10**30, 2**63, -(2**63), 0.5, 1e308, float("nan"), float("inf"))
BODIES = (
    b"", b"null", b"[]", b'"x"', b"{", b"\xff\xfe", b"[" * 100_000, b'{"a":' * 50_000,
    b'{"line": "\xed\xa0\x80", "cursor": 1e999}',
)  # fmt: skip


def example(schema: dict[str, Any], root: dict[str, Any], page: Page) -> Any:
    """A value of a schema's shape."""
    if "$ref" in schema:
        named = root["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
        parts = named.get("properties", {})
        return {k: known(k, page) or example(v, root, page) for k, v in parts.items()}
    if "anyOf" in schema:
        return example(schema["anyOf"][0], root, page)
    kind = schema.get("type")
    if kind == "array":
        return [example(schema["items"], root, page)]
    return {"integer": 1, "number": 0.5, "boolean": True}.get(kind, "a")


def known(name: str, page: Page) -> str:
    """A word that is right for a field of that name, so that the others are looked at."""
    return {
        "kick_off": "2027-03-06T15:30",
        "zone": "Europe/Vienna",
        "at": "2027-03-06T15:40:00Z",
        "frame": page.made.frames[0],
        "person": "home-9",
        "role": "player",
        "protocol": "ftp",
        "style": "north",
        "host": "desk.example",
        "fingerprint": "",
    }.get(name, "")


def places(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Every leaf of a value and the way to it."""
    if isinstance(value, dict | list):
        for key, part in value.items() if isinstance(value, dict) else enumerate(value):
            yield from places(part, (*way, key))
    else:
        yield way, value


def put(value: Any, way: tuple[Any, ...], new: object) -> Any:
    """The value with another leaf."""
    copy = json.loads(json.dumps(value))
    place = copy
    for key in way[:-1]:
        place = place[key]
    place[way[-1]] = new
    return copy


def bodies(schema: dict[str, Any], root: dict[str, Any], page: Page) -> Iterator[bytes]:
    """Bodies for one address: one leaf wrong at a time, then what is no value at all."""
    right = example(schema, root, page)
    for way, leaf in places(right):
        strange = (*WORDS, *(LINES if way == ("line",) else ()))
        if way[-1] == "id":
            strange = (*strange, "home-9", "1")
        for new in strange if isinstance(leaf, str) else (*NUMBERS, *WORDS[:3]):
            yield json.dumps(put(right, way, new)).encode()
    yield from BODIES


def raw(page: Page, path: str, body: bytes, phone: dict[str, str]) -> Answer:
    """Sends bytes as the page would send its own."""
    connection = http.client.HTTPConnection("127.0.0.1", page.port, timeout=60)
    given = {"origin": page.address, "content-type": "application/json"} | phone
    connection.request("POST", path, body, given)
    answer = connection.getresponse()
    read = Answer(answer.status, dict(answer.getheaders()), answer.read())
    connection.close()
    return read


def test_no_text_or_number_breaks_an_address(
    schema: dict[str, Any], lan: Page, phone: dict[str, str]
) -> None:
    """Whatever stands in any one field of any request, it is answered and not broken over."""
    broken = []
    for path, ways in schema["paths"].items():
        if "requestBody" not in ways.get("post", {}):
            continue
        shape = ways["post"]["requestBody"]["content"]["application/json"]["schema"]
        real = path.replace("{folder}", lan.made.match.folder)
        for body in bodies(shape, schema, lan):
            answer = raw(lan, real, body, phone)
            if answer.status >= 500:
                broken.append((path, answer.status, body[:200]))
    assert not broken


def test_no_name_in_a_path_breaks_or_leaves(
    schema: dict[str, Any], lan: Page, phone: dict[str, str]
) -> None:
    """A folder, frame, passage or picture by any strange name is refused, and gives no file."""
    strange = (
        "..", "../../etc/passwd", "..\\..\\x", "/etc/passwd", "setpiece.db", "%2e%2e%2fphones.json",
        "\0", "\ud800", "C:\\x", "²", "A" * 2000, f"{lan.made.frames[0]}-s.jpg/../../setpiece.db",
    )  # fmt: skip
    for path, ways in schema["paths"].items():
        names = [p for p in ways.get("get", {}).get("parameters", ()) if p["in"] == "path"]
        for part in names:
            for name in strange:
                code = quote(name.encode("utf-8", "surrogatepass"), safe="")
                asked = path.replace("{" + part["name"] + "}", code)
                for other in names:
                    right = lan.made.match.folder if other["name"] == "folder" else "x"
                    asked = asked.replace("{" + other["name"] + "}", right)
                answer = lan.ask(asked, headers=phone)
                assert 400 <= answer.status < 500, (asked, answer.status)
                assert b"SQLite format" not in answer.body
                assert b"token_hash" not in answer.body


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2f..%2fsetpiece.db",
        "/static//etc/passwd", "/static/css/..%5c..%5capp.py", "/static/%00", "/static/",
        "//etc/passwd", "/..%2fphones.json", "/openapi.json", "/docs", "/redoc",
    ],
)  # fmt: skip
def test_what_is_no_page_is_not_there(lan: Page, path: str) -> None:
    """Neither files beside those of the page nor the framework's own pages are served."""
    assert lan.ask(path).status == 404


def test_a_length_or_a_number_that_is_none_is_refused(lan: Page) -> None:
    """A request's length, and the last piece of news it had, may be anything but a number."""
    for length in ("²", "9" * 5000, "-1", "1e3", ""):
        connection = http.client.HTTPConnection("127.0.0.1", lan.port, timeout=60)
        connection.putrequest("POST", f"{lan.match}/stop")
        connection.putheader("origin", lan.address)
        connection.putheader("content-length", length.encode("latin-1"))
        connection.endheaders()
        assert connection.getresponse().status in (400, 403)
        connection.close()
    assert lan.ask("/match/none/news", headers={"last-event-id": "\u00b2"}).status == 404


def test_no_socket_of_another_kind_is_opened(lan: Page) -> None:
    """A web socket is answered as the plain page it asked for: there is none."""
    upgrade = {
        "upgrade": "websocket",
        "connection": "Upgrade",
        "sec-websocket-key": "dGhlIHNhbXBsZSBub25jZQ==",
        "sec-websocket-version": "13",
        "origin": lan.address,
    }
    assert lan.ask("/match/none/news", headers=upgrade).status in (400, 403, 404)
