"""The phone's pages and the laptop's page about its phones."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import segno
from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException

from setpiece.errors import NotFound, SetpieceError
from setpiece.store.matches import Match, matches
from setpiece.web.answered import NO_STORE
from setpiece.web.card import card_part, phone_card_html
from setpiece.web.desk_room import WebDesk
from setpiece.web.phone.log import Loaded, Logged, Outcome, loaded, log_all
from setpiece.web.phone.paired import Phone, Phones, since

COOKIE = "phone"
A_SEASON_S = 300 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Pairing:
    """What a phone sends to be paired."""

    code: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Keys:
    """What a phone logged since it last reached the laptop."""

    keys: tuple[Logged, ...]


@dataclass(frozen=True, slots=True)
class PhoneId:
    """Which phone is to lose its token."""

    id: str


def add_phones(app: FastAPI, desk: WebDesk, addresses: tuple[str, ...]) -> None:
    """Adds the phone's pages; `addresses` are those that phones reach this laptop by."""
    words, phones = desk.words, Phones(desk.space.folder)

    def allowed(request: Request) -> Phone:
        phone = phones.of(request.cookies.get(COOKIE, ""))
        if phone is None:
            raise HTTPException(401, words("phone.not-paired"))
        return phone

    @app.get("/phones")
    def phones_page(request: Request) -> Response:
        code = phones.new_code(desk.now())
        links = [f"http://{a}/phone#{code}" for a in addresses]
        return desk.page(
            request,
            "phones.html",
            code=code,
            links=[(link, _drawn(link)) for link in links],
            paired=[(p, words.day(since(p), "UTC")) for p in phones.all()],
            today=words.day(desk.now(), "UTC"),
        )

    @app.post("/phones/revoke")
    def revoke(gone: PhoneId) -> Response:
        def act() -> dict[str, str]:
            return {"said": words("phones.revoked", name=phones.revoke(gone.id).name)}

        return _answered(desk, act)

    @app.get("/phone")
    def phone_page(request: Request) -> Response:
        if phones.of(request.cookies.get(COOKIE, "")) is None:
            return desk.page(request, "phone_pair.html")
        match = _next_match(desk)
        return desk.page(request, "phone.html", match=match.folder if match else "")

    @app.post("/phone/pair")
    def pair(pairing: Pairing) -> Response:
        try:
            token = phones.pair(pairing.code.strip(), pairing.name, desk.now())
        except SetpieceError as error:
            return JSONResponse({"wrong": desk.words.told(str(error))}, 403, headers=NO_STORE)
        answer = JSONResponse({"go": "/phone"}, headers=NO_STORE)
        answer.set_cookie(COOKIE, token, max_age=A_SEASON_S, httponly=True, samesite="strict")
        return answer

    @app.get("/phone/time")
    def time(request: Request) -> Response:
        allowed(request)
        ms = round(desk.now().timestamp() * 1000)
        return JSONResponse({"ms": ms}, headers=NO_STORE)

    @app.get("/phone/clock-card")
    def clock_card(request: Request) -> Response:
        allowed(request)
        return HTMLResponse(phone_card_html(), headers=NO_STORE)

    @app.get("/phone/clock-card/{part}")
    def clock_card_part(part: str) -> Response:
        text, kind = card_part(part)
        return Response(text, media_type=kind, headers={"cache-control": "no-cache"})

    @app.get("/phone/match/{folder}")
    def load(request: Request, folder: str) -> Loaded:
        allowed(request)
        return loaded(desk.standing.of(folder), desk.now(), words)

    @app.post("/phone/match/{folder}/keys")
    def log(request: Request, folder: str, sent: Keys) -> tuple[Outcome, ...]:
        allowed(request)
        day = desk.standing.of(folder)
        done = log_all(desk.space, day, sent.keys, desk.caller, words)
        desk.wire.look_soon()
        return done

    @app.get("/phone/")
    def with_slash() -> Response:
        return RedirectResponse("/phone")


def _next_match(desk: WebDesk) -> Match | None:
    """The match nearest to now."""
    known = [m for m in matches(desk.space) if m.fixture is not None]
    now = desk.now()
    return min(
        known,
        key=lambda m: abs((m.fixture.kick_off if m.fixture else now) - now),
        default=None,
    )


def _drawn(link: str) -> dict[str, Any]:
    """The link as a code to photograph: its size and the path of its dark squares."""
    code = segno.make(link, error="m")
    rows = list(code.matrix)
    path = "".join(
        f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, dark in enumerate(row) if dark
    )
    return {"size": len(rows), "path": path}


def _answered(desk: WebDesk, act: Callable[[], object]) -> Response:
    try:
        return JSONResponse(act(), headers=NO_STORE)
    except NotFound as error:
        return JSONResponse({"wrong": desk.words.told(str(error))}, 404, headers=NO_STORE)
    except SetpieceError as error:
        return JSONResponse({"wrong": desk.words.told(str(error))}, 422, headers=NO_STORE)
