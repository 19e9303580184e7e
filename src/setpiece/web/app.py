"""The local web application: its pages, its fragments, and what stands before them."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from importlib.resources import files
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from setpiece.errors import AskPhotographer, NotFound, SetpieceError, TryAgain
from setpiece.store.matches import matches
from setpiece.store.news import newest_number
from setpiece.store.workspace import Workspace
from setpiece.web.after.addresses import add_after
from setpiece.web.asked import StrictRoute
from setpiece.web.before.papers import add_papers
from setpiece.web.card import card_html, card_part
from setpiece.web.desk.forms import add_desk_forms, form_values
from setpiece.web.desk.page import desks_shown
from setpiece.web.desk_room import Clock, WebDesk
from setpiece.web.front import front
from setpiece.web.mast import kits_css, mast
from setpiece.web.phone.pages import add_phones
from setpiece.web.pictures import small_picture, whole_picture
from setpiece.web.security import Guard
from setpiece.web.spoken import Speaking
from setpiece.web.touchline.acting import add_acts
from setpiece.web.touchline.live_rows import report_values, reported
from setpiece.web.touchline.opened import opened
from setpiece.web.touchline.report import passage_frames, run_of
from setpiece.work.battery import Battery
from setpiece.work.matchday import Matchday


def make_app(
    workspace_folder: Path,
    *,
    now: Clock,
    hosts: frozenset[str],
    phone_hosts: tuple[str, ...] = (),
    battery: Battery | None = None,
) -> FastAPI:
    """The application over a workspace.

    `now` is the laptop's clock; `hosts` are the names and addresses the page answers to, as a
    browser writes them, with or without port. `phone_hosts` are the addresses, with port, under
    which phones on the local network reach their own pages and nothing else; none: no phones.
    `battery` is this machine's unless another is given.
    Raises NotFound where there is no workspace.
    """
    space = Workspace.open(workspace_folder)
    desk = WebDesk(space, now, battery or Battery())

    @asynccontextmanager
    async def while_running(_app: FastAPI) -> AsyncIterator[None]:
        warming = asyncio.create_task(run_in_threadpool(_warm, desk))
        async with desk.wire.open():
            desk.steward.start()
            yield
            await run_in_threadpool(desk.close)
        await warming

    app = FastAPI(
        title="Setpiece", docs_url=None, redoc_url=None, openapi_url=None, lifespan=while_running
    )
    app.router.route_class = StrictRoute
    app.state.desk = desk
    desk.pages.globals.update(phones=bool(phone_hosts))
    app.add_middleware(Speaking)
    app.add_middleware(Guard, hosts=hosts, phone_hosts=phone_hosts)
    app.add_exception_handler(SetpieceError, _trouble)
    app.add_exception_handler(HTTPException, _no_page)
    app.add_exception_handler(RequestValidationError, _malformed)
    app.mount("/static", StaticFiles(packages=[("setpiece.web", "static")]), name="static")
    _add_pages(app, desk)
    add_papers(app, desk)
    add_after(app, desk)
    add_desk_forms(app, desk)
    if phone_hosts:
        add_phones(app, desk, phone_hosts)
    add_acts(app, desk)
    return app


KEYS = (
    "use",
    "hold",
    "spike",
    "crop",
    "point",
    "zoom",
    "compare",
    "undo",
    "frame-before",
    "frame-after",
    "keys",
)
TOLD_WORDS = (
    "caption", "log", "decide", "send", "ask", "take", "find", "overrule", "correct", "crop",
    "kill", "undo",
)  # fmt: skip
"""The keys and the words that F1 tells of, in its order."""


def _add_pages(app: FastAPI, desk: WebDesk) -> None:
    words = desk.words

    @app.get("/")
    def matches_page(request: Request) -> Response:
        shown = front(desk.standing, desk.now(), words, desk.backstage.battery.power)
        return desk.page(request, "matches.html", front=shown, today=words.day(desk.now(), "UTC"))

    @app.get("/match/{folder}")
    def touchline_page(request: Request, folder: str, frame: str = "") -> Response:
        day = desk.standing.of(folder)
        return desk.page(request, "touchline.html", **_touchline(desk, day, frame))

    @app.get("/match/{folder}/desk")
    def desk_page(request: Request, folder: str) -> Response:
        day = desk.standing.of(folder)
        top = mast(day, desk.now(), words)
        values = {"mast": top, "desks": desks_shown(day, words), **form_values(desk)}
        return desk.page(request, "desk.html", values=values)

    @app.get("/match/{folder}/passage/{passage}")
    def passage_fragment(request: Request, folder: str, passage: str) -> Response:
        day = desk.standing.of(folder)
        if passage not in passage_frames(day):
            raise NotFound("this match has no such passage", thing=passage)
        return desk.page(request, "_run.html", run=run_of(day, passage, words), folder=folder)

    @app.get("/match/{folder}/frame/{frame}")
    def frame_fragment(request: Request, folder: str, frame: str) -> Response:
        day = desk.standing.lately(folder, frame)
        view = opened(day, _known(day, frame), words)
        return desk.page(request, "_opened.html", open=view, folder=folder)

    @app.get("/match/{folder}/kits.css")
    def kits_style(folder: str) -> Response:
        text = kits_css(desk.standing.of(folder).sheet)
        return Response(text, media_type="text/css", headers={"cache-control": "no-cache"})

    @app.get("/picture/{name}")
    def picture(name: str, request: Request) -> Response:
        return small_picture(desk.space, name, request)

    @app.get("/match/{folder}/full/{name}")
    def full(folder: str, name: str, request: Request) -> Response:
        return whole_picture(desk.standing.of(folder), name, request)

    @app.get("/clock-card")
    def clock_card() -> Response:
        return HTMLResponse(card_html(), headers={"cache-control": "no-cache"})

    @app.get("/clock-card/{part}")
    def clock_card_part(part: str) -> Response:
        text, kind = card_part(part)
        return Response(text, media_type=kind, headers={"cache-control": "no-cache"})

    @app.get("/favicon.ico")
    def icon() -> Response:
        mark = files("setpiece.web").joinpath("static/mark.svg").read_bytes()
        return Response(mark, media_type="image/svg+xml",
                        headers={"cache-control": "public, max-age=86400"})  # fmt: skip


def _warm(desk: WebDesk) -> None:
    """Reads the newest match before anybody asks, so that its page is there at once."""
    newest = next((m for m in matches(desk.space) if m.fixture is not None), None)
    if newest is not None:
        with suppress(SetpieceError):
            day = desk.standing.of(newest.folder)
            reported(day, desk.words)
            desk.margin(day)


def _touchline(desk: WebDesk, day: Matchday, frame: str) -> dict[str, Any]:
    words = desk.words
    number = newest_number(desk.space)
    frame_id = _known(day, frame) if frame else ""
    return {
        "keys": KEYS,
        "told_words": TOLD_WORDS,
        "mast": mast(day, desk.now(), words),
        "margin": desk.margin(day),
        "number": number,
        **report_values(day, words, frame_id, None),
    }


def _known(day: Matchday, frame: str) -> str:
    if frame not in day.frames:
        raise NotFound("this match has no such frame", thing=frame)
    return frame


def _trouble(request: Request, error: Exception) -> Response:
    assert isinstance(error, SetpieceError)
    status = 404 if isinstance(error, NotFound) else 422
    if isinstance(error, TryAgain):
        status = 503
    elif not isinstance(error, AskPhotographer):
        status = 500
    desk: WebDesk = request.app.state.desk
    return desk.page(
        request, "trouble.html", status, what=desk.words.told(str(error)), next_step=""
    )


def _no_page(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    desk: WebDesk = request.app.state.desk
    if error.status_code != 404:
        return desk.page(
            request, "trouble.html", error.status_code, what=str(error.detail), next_step=""
        )
    return desk.page(request, "trouble.html", 404, what=desk.words("trouble.no-page"),
                     next_step=desk.words("trouble.no-page-next"))  # fmt: skip


def _malformed(_request: Request, error: Exception) -> Response:
    """Says what is wrong with a form, without repeating what stood in it: it may be a password."""
    assert isinstance(error, RequestValidationError)
    detail = [{"loc": e["loc"], "msg": e["msg"], "type": e["type"]} for e in error.errors()]
    return JSONResponse({"detail": detail}, 422)
