"""The local web application: its pages, its fragments, and what stands before them."""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response
from fastapi.staticfiles import StaticFiles
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from starlette.exceptions import HTTPException

from setpiece.errors import AskPhotographer, NotFound, SetpieceError, TryAgain
from setpiece.match.instants import Instant
from setpiece.store.workspace import Workspace
from setpiece.web.desks import desks_shown
from setpiece.web.front import front
from setpiece.web.margin import margin
from setpiece.web.mast import mast
from setpiece.web.opened import opened
from setpiece.web.pictures import small_picture
from setpiece.web.report import first_to_open, passage_frames, passage_of, rows, run_of
from setpiece.web.security import Guard
from setpiece.web.standing import Standing
from setpiece.web.wording import wording
from setpiece.work.matchday import Matchday

Clock = Callable[[], Instant]

EDITIONS = ("day", "night")
"""What the `edition` cookie may say; anything else leaves it to the system."""


def make_app(workspace_folder: Path, *, now: Clock, hosts: frozenset[str]) -> FastAPI:
    """The application over a workspace.

    `now` is the laptop's clock; `hosts` are the names and addresses the page answers to, as a
    browser writes them, with or without port. Raises NotFound where there is no workspace.
    """
    space = Workspace.open(workspace_folder)
    app = FastAPI(title="Setpiece", docs_url=None, redoc_url=None, openapi_url=None)
    app.state.desk = WebDesk(space, now)
    app.add_middleware(Guard, hosts=hosts)
    app.add_exception_handler(SetpieceError, _trouble)
    app.add_exception_handler(HTTPException, _no_page)
    app.mount("/static", StaticFiles(packages=[("setpiece.web", "static")]), name="static")
    _add_pages(app, app.state.desk)
    return app


class WebDesk:
    """What every page needs: the workspace, the clock, the matches as they stand, templates."""

    def __init__(self, space: Workspace, now: Clock) -> None:
        self.space = space
        self.now = now
        self.standing = Standing(space)
        self.words = wording()
        self.pages = Environment(
            loader=PackageLoader("setpiece.web", "templates"),
            autoescape=select_autoescape(default=True, default_for_string=True),
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.pages.globals.update(t=self.words, n=self.words.count)

    def page(
        self, request: Request, template: str, status: int = 200, **values: Any
    ) -> HTMLResponse:
        """A page or fragment. It is made for this moment, so nobody keeps it."""
        chosen = request.cookies.get("edition", "")
        edition = chosen if chosen in EDITIONS else ""
        text = self.pages.get_template(template).render(values, edition=edition)
        return HTMLResponse(text, status, headers={"cache-control": "no-store"})


def _add_pages(app: FastAPI, desk: WebDesk) -> None:
    words = desk.words

    @app.get("/")
    def matches_page(request: Request) -> Response:
        return desk.page(request, "matches.html", front=front(desk.standing, desk.now(), words),
                         today=words.day(desk.now(), "UTC"))  # fmt: skip

    @app.get("/match/{folder}")
    def touchline_page(request: Request, folder: str, frame: str = "") -> Response:
        day = desk.standing.of(folder)
        return desk.page(request, "touchline.html", **_touchline(desk, day, frame))

    @app.get("/match/{folder}/desk")
    def desk_page(request: Request, folder: str) -> Response:
        day = desk.standing.of(folder)
        top = mast(day, desk.now(), words)
        return desk.page(request, "desk.html", mast=top, desks=desks_shown(day, words))

    @app.get("/match/{folder}/passage/{passage}")
    def passage_fragment(request: Request, folder: str, passage: str) -> Response:
        day = desk.standing.of(folder)
        if passage not in passage_frames(day):
            raise NotFound("this match has no such passage", thing=passage)
        return desk.page(request, "_run.html", run=run_of(day, passage, words), folder=folder)

    @app.get("/match/{folder}/frame/{frame}")
    def frame_fragment(request: Request, folder: str, frame: str) -> Response:
        day = desk.standing.of(folder)
        view = opened(day, _known(day, frame), words)
        return desk.page(request, "_opened.html", open=view, folder=folder)

    @app.get("/match/{folder}/margin")
    def margin_fragment(request: Request, folder: str) -> Response:
        day = desk.standing.of(folder)
        return desk.page(request, "_margin.html", margin=margin(day, words), folder=folder)

    @app.get("/match/{folder}/kits.css")
    def kits_style(folder: str) -> Response:
        kits = mast(desk.standing.of(folder), desk.now(), words).kits
        rules = [f"--kit-{s}:{c};" for s, c in (("home", kits.home), ("away", kits.away)) if c]
        return Response(f":root{{{''.join(rules)}}}\n", media_type="text/css",
                        headers={"cache-control": "no-cache"})  # fmt: skip

    @app.get("/picture/{name}")
    def picture(name: str, request: Request) -> Response:
        return small_picture(desk.space, name, request)

    @app.get("/favicon.ico")
    def icon() -> Response:
        mark = files("setpiece.web").joinpath("static/mark.svg").read_bytes()
        return Response(mark, media_type="image/svg+xml",
                        headers={"cache-control": "public, max-age=86400"})  # fmt: skip


def _touchline(desk: WebDesk, day: Matchday, frame: str) -> dict[str, Any]:
    words = desk.words
    all_rows = rows(day, words)
    frame_id = _known(day, frame) if frame else ""
    at = passage_of(day, frame_id) if frame_id else ""
    runs = {p: run_of(day, p, words) for row in all_rows for p in row.passages if p != at}
    return {
        "mast": mast(day, desk.now(), words),
        "rows": all_rows,
        "runs": runs,
        "firsts": {p: first_to_open(day, f) for p, f in passage_frames(day).items()},
        "open": opened(day, frame_id, words) if frame_id else None,
        "margin": margin(day, words),
        "folder": day.match.folder,
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
    return desk.page(request, "trouble.html", status, what=str(error), next_step="")


def _no_page(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    desk: WebDesk = request.app.state.desk
    if error.status_code != 404:
        return desk.page(
            request, "trouble.html", error.status_code, what=str(error.detail), next_step=""
        )
    return desk.page(request, "trouble.html", 404, what=desk.words("trouble.no-page"),
                     next_step=desk.words("trouble.no-page-next"))  # fmt: skip
