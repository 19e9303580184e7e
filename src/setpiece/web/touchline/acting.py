"""What an open page asks for and sends: the line, undo, the rows that changed, the wire."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, Response

from setpiece.errors import NotFound, SetpieceError
from setpiece.store.news import newest_number
from setpiece.web.answered import NO_STORE
from setpiece.web.asked import whole_number
from setpiece.web.desk_room import WebDesk
from setpiece.web.mast import mast
from setpiece.web.touchline.doing import Doer, Done, Typed
from setpiece.web.touchline.hearing import Understood, wrong
from setpiece.web.touchline.live_rows import report_values, reported
from setpiece.web.touchline.placing import Pointed, pointed
from setpiece.web.touchline.understood import understood
from setpiece.web.touchline.undoing import Undo, Undoer
from setpiece.web.wire import EventStream
from setpiece.work.style_files import load_acts


@dataclass(frozen=True, slots=True)
class Reading:
    """A line while it is typed: where the cursor is, and the opened frame."""

    line: str
    cursor: int
    frame: str = ""


@dataclass(frozen=True, slots=True)
class Pointing:
    """A line whose people are pointed at: how far across the picture, in the order typed."""

    line: str
    frame: str
    across: tuple[float, ...] = ()


MARGIN = "margin"
"""What a page asks for alone that heard of news which changes no row."""


def add_acts(app: FastAPI, desk: WebDesk) -> None:
    """Adds the addresses that pages call while they are open."""
    words = desk.words
    doer = Doer(desk.standing, desk.backstage, words)
    undoer = Undoer(desk.standing, desk.backstage.batches, words)

    @app.post("/match/{folder}/line/read")
    def read(folder: str, reading: Reading) -> Understood:
        day = desk.standing.lately(folder, reading.frame)
        frame = reading.frame if reading.frame in day.frames else ""
        return understood(day, frame, reading.line, reading.cursor, desk.now(), words)

    @app.post("/match/{folder}/line")
    def do(folder: str, typed: Typed) -> Response:
        return _answered(desk, typed.line, lambda: doer.do(folder, typed, desk.caller))

    @app.post("/match/{folder}/line/point")
    def point(folder: str, pointing: Pointing) -> Response:
        def act() -> Pointed:
            day = desk.standing.of(folder)
            situation = day.situation(day.frame(pointing.frame).id)
            acts = load_acts(desk.space.folder)
            return pointed(pointing.line, pointing.across, situation, acts, words)

        return _answered(desk, pointing.line, act)

    @app.post("/match/{folder}/undo")
    def undo(folder: str, act: Undo) -> Response:
        def back() -> Done:
            done = undoer.take_back(folder, act, desk.caller)
            frames = (done.frame,) if done.frame else ()
            go = "frame" if frames else ""
            return Done(done.said, go=go, doubt=done.doubt, frames=frames, offer=done.offer)

        return _answered(desk, "", back)

    @app.post("/match/{folder}/stop")
    def stop(folder: str) -> Response:
        desk.backstage.stop()
        return JSONResponse({})

    @app.get("/match/{folder}/standing")
    def standing(request: Request, folder: str, part: str = "") -> Response:
        number = newest_number(desk.space)
        day = desk.standing.of(folder)
        made = None if part == MARGIN else reported(day, words)
        values: dict[str, Any] = {
            "number": number,
            "mast": desk.text("_mast.html", mast=mast(day, desk.now(), words), page="touchline"),
            "margin": desk.text("_margin.html", margin=desk.margin(day), folder=folder),
            "rows": [[row.key, made.marks[row.key]] for row in made.rows] if made else [],
        }
        return JSONResponse(values, headers=NO_STORE)

    @app.get("/match/{folder}/rows")
    def some_rows(request: Request, folder: str, keys: str, frame: str = "") -> Response:
        day = desk.standing.of(folder)
        frame_id = frame if frame in day.frames else ""
        values = report_values(day, words, frame_id, keys.split(","))
        return desk.page(request, "_rows.html", **values)

    @app.get("/match/{folder}/news")
    async def news(request: Request, folder: str, since: int | None = None) -> Response:
        seen = whole_number(request.headers.get("last-event-id", ""))
        number = since if seen is None else seen
        match_id = desk.standing.id_of(folder)
        return EventStream(
            desk.wire.stream(match_id, number),
            headers={"cache-control": "no-store", "x-accel-buffering": "no"},
        )


def _answered(desk: WebDesk, line: str, act: Any) -> Response:
    """The answer to an act: what was done, or what is wrong with the line and where."""
    try:
        done = act()
    except NotFound as error:
        return JSONResponse(
            {"wrong": asdict(wrong(error, line, desk.words))}, 404, headers=NO_STORE
        )
    except SetpieceError as error:
        return JSONResponse(
            {"wrong": asdict(wrong(error, line, desk.words))}, 422, headers=NO_STORE
        )
    desk.wire.look_soon()
    return JSONResponse(asdict(done), headers=NO_STORE)
