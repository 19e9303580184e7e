"""Desks on the page: how each is reached and served, its password, a rehearsal; and the doctor."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from setpiece.errors import WrongUse
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.send.passwords import keep_password, variable
from setpiece.web.answered import answered
from setpiece.web.asked import whole_number
from setpiece.web.desk_room import WebDesk
from setpiece.work.desk.desks import (
    Desk,
    DeskSettings,
    add_desk,
    change_settings,
    desk_named,
    known_desks,
    rehearse_desk,
)
from setpiece.work.doctor import examine
from setpiece.work.style_files import style_names

_MARKS = {"good": "✓", "without": "–", "failed": "✗"}


@dataclass(frozen=True, slots=True)
class DeskForm:
    """A desk as typed. What an earlier address had and the form does not show stays."""

    name: str
    protocol: str
    style: str
    host: str = ""
    port: str = ""
    user: str = ""
    folder: str = ""
    path: str = ""
    fingerprint: str = ""
    paused: str = ""


@dataclass(frozen=True, slots=True)
class DeskName:
    """Which desk."""

    name: str


@dataclass(frozen=True, slots=True)
class PasswordForm:
    """A desk's password, on its way to the system's keyring and nowhere else."""

    name: str
    password: str


def add_desk_forms(app: FastAPI, desk: WebDesk) -> None:
    """Adds what the page of the desks sends, and the doctor's page."""
    words = desk.words

    @app.post("/desks")
    def keep(form: DeskForm) -> Response:
        def act() -> str:
            made = desk_of(form, known_desks(desk.space))
            add_desk(desk.space, made, desk.caller)
            change_settings(desk.space, made.name, desk.caller, paused=form.paused == "on")
            return words("desk.kept", name=made.name, address=made.address.spelled())

        return answered(act)

    @app.post("/desks/password")
    def password(form: PasswordForm) -> Response:
        def act() -> str:
            name = desk_named(desk.space, form.name).name
            if keep_password(name, form.password):
                desk.backstage.forget_ends()
                desk.steward.look_soon()
                return words("desk.password-kept")
            raise WrongUse(words("desk.no-keyring", variable=variable(name)))

        return answered(act)

    @app.post("/desks/test")
    def test(form: DeskName) -> Response:
        def act() -> str:
            steps = rehearse_desk(desk.space, form.name, desk.caller)
            return "\n".join(f"{_MARKS.get(s.outcome, '·')} {s.name}: {s.sentence}" for s in steps)

        return answered(act)

    @app.get("/doctor")
    def doctor_page(request: Request) -> Response:
        found = examine(desk.space, power=lambda: desk.backstage.battery.power).findings
        return desk.page(request, "doctor.html", findings=found, today=words.day(desk.now(), "UTC"))


def desk_of(form: DeskForm, known: tuple[Desk, ...]) -> Desk:
    """The desk a form describes. Raises WrongUse."""
    name = form.name.strip()
    if not name:
        raise WrongUse("the desk has no name", next_step="Type what you call it.")
    try:
        protocol = Protocol(form.protocol)
    except ValueError as error:
        raise WrongUse(
            "no such protocol", thing=form.protocol, next_step=f"One of: {', '.join(Protocol)}."
        ) from error
    if form.port and whole_number(form.port) is None:
        raise WrongUse("a port is a number", thing=form.port)
    before = next((d for d in known if d.name == name), None)
    address = _address(form, protocol, before)
    settings = before.settings if before else DeskSettings()
    return Desk(name, address, form.style, settings)


def _address(form: DeskForm, protocol: Protocol, before: Desk | None) -> DeskAddress:
    if protocol is Protocol.FOLDER:
        return DeskAddress(protocol, path=Path(form.path.strip()), folder=form.folder.strip())
    shown = {
        "host": form.host.strip(),
        "port": whole_number(form.port),
        "user": form.user.strip(),
        "folder": form.folder.strip(),
        "fingerprint": form.fingerprint.strip(),
    }
    if before is not None and before.address.protocol is protocol:
        return replace(before.address, **shown)  # type: ignore[arg-type]
    return DeskAddress(protocol, **shown)  # type: ignore[arg-type]


def form_values(desk: WebDesk) -> dict[str, object]:
    """What the page of the desks needs for its forms."""
    return {
        "known": {d.name: d for d in known_desks(desk.space)},
        "styles": style_names(desk.space.folder),
        "protocols": [p.value for p in Protocol],
    }
