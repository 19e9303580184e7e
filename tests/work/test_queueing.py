"""Into the outbox: what goes, what waits and for what, and what happens when that ends."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from desk_match import at, folder_desk, own_style, shoot
from simplejpeg import decode_jpeg_header

from setpiece.captions.findings import Level
from setpiece.errors import GiveUp, NoSpace, WrongUse
from setpiece.match.entries import EntryId, Kind, Standing, current
from setpiece.match.instants import Instant, instant
from setpiece.pictures.iptc import read_fields
from setpiece.pictures.rendition import Edit
from setpiece.store.delivery import Reason, State
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match, add_entries, log_of
from setpiece.store.outbox import deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import overrule, retype, write_caption
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.desks import (
    DeskSettings,
    UnderReview,
    add_desk,
    change_settings,
    desk_named,
)
from setpiece.work.desk.outbox import let_go
from setpiece.work.desk.preparing import Preparing
from setpiece.work.desk.queueing import look_again, queue_set
from setpiece.work.desk.terms import set_terms
from setpiece.work.edits import set_edit
from setpiece.work.job import Unattended

LINE = "9r celebrates with 11r right"
PLAY = "5w tackles 9r"


@pytest.fixture
def joy(space: Workspace, played: Match, now: Instant) -> str:
    """A captioned frame of the celebration after the goal of the 74th minute."""
    frame = shoot(space, played, 231, at(2, "28:45"))
    write_caption(space, played, frame, LINE, Unattended(now))
    return frame


def after(now: Instant, seconds: float) -> Unattended:
    """Nobody at the laptop, so many seconds later."""
    return Unattended(instant(now + timedelta(seconds=seconds)))


def only(space: Workspace, of: Match) -> tuple[State, str]:
    """State and reason of the one delivery that was not withdrawn."""
    (item,) = (d for d in deliveries(space, of) if d.state is not State.WITHDRAWN)
    return item.state, item.reason


def test_an_error_waits_and_goes_when_it_is_put_right(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """A caption with a wrong score waits for its check, is named, and goes once it is right."""
    desk = folder_desk(space, tmp_path, "City", now)
    written = write_caption(space, played, joy, LINE, Unattended(now))
    right = written.caption.fields.description
    retype(space, played, joy, Unattended(now), description=right.replace("2–1", "3–1"))
    queued = queue_set(space, played, ["City"], Unattended(now))
    assert (queued.queued, [n.waits for n in queued.left_out]) == (0, [Reason.CHECK])
    assert "3–1" in " ".join(queued.left_out[0].why)
    assert send_waiting(space, played, Unattended(now)).held == 1
    assert only(space, played) == (State.WAITING, "check")
    assert not list(desk.iterdir())
    retype(space, played, joy, Unattended(now), description=right)
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    assert [read_fields(p.read_bytes()).description for p in desk.iterdir()] == [right]


def test_an_answered_doubt_lets_a_picture_go(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """What is held for care waits so, and goes once the photographer has answered."""
    folder_desk(space, tmp_path, "City", now)
    frame = shoot(space, played, 12, at(2, "10:00"))
    written = write_caption(space, played, frame, "mascots celebrate", Unattended(now))
    codes = [f.code for f in written.findings if f.level is not Level.REMARK]
    assert codes == ["people to protect"]
    queue_set(space, played, ["City"], Unattended(now))
    assert only(space, played) == (State.WAITING, "care")
    overrule(space, played, frame, "people to protect", "the parents know", Unattended(now))
    assert send_waiting(space, played, Unattended(now)).delivered == 1


def test_a_held_frame_waits_until_it_is_used_again(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """Holding a queued frame keeps it back; using it again sends it."""
    folder_desk(space, tmp_path, "City", now)
    queue_set(space, played, ["City"], Unattended(now))
    decide(space, played, joy, Decision.HOLD)
    assert send_waiting(space, played, Unattended(now)).delivered == 0
    assert only(space, played) == (State.WAITING, "decision")
    decide(space, played, joy, Decision.USE)
    assert send_waiting(space, played, Unattended(now)).delivered == 1


def test_an_embargo_ends_by_itself(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """A desk's embargo holds its pictures until its hour and no longer."""
    hour = instant(now + timedelta(hours=1))
    folder_desk(space, tmp_path, "City", now, settings=DeskSettings(embargo_until=hour))
    queue_set(space, played, ["City"], Unattended(now))
    assert send_waiting(space, played, after(now, 3599)).delivered == 0
    assert only(space, played) == (State.WAITING, "embargo")
    assert send_waiting(space, played, after(now, 3601)).delivered == 1


def test_an_embargo_can_be_lifted(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """Taking the embargo away lets what waited for it go at once."""
    hour = instant(now + timedelta(hours=1))
    folder_desk(space, tmp_path, "City", now, settings=DeskSettings(embargo_until=hour))
    queue_set(space, played, ["City"], Unattended(now))
    change_settings(space, "City", Unattended(now), embargo_until=None)
    assert send_waiting(space, played, Unattended(now)).delivered == 1


def test_a_quota_per_half_holds_what_is_beyond_it(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """Of three pictures of one half two go; the third waits, and goes on purpose only."""
    style = own_style(space, "strict", per_half=2)
    desk = folder_desk(space, tmp_path, "City", now, style=style)
    for number in range(3):
        frame = shoot(space, played, number + 1, at(2, f"3{number}:10"))
        write_caption(space, played, frame, PLAY, Unattended(now))
    other = shoot(space, played, 9, at(1, "20:00"))
    write_caption(space, played, other, PLAY, Unattended(now))
    queued = queue_set(space, played, ["City"], Unattended(now))
    assert (queued.queued, [n.waits for n in queued.left_out]) == (3, [Reason.QUOTA])
    assert send_waiting(space, played, Unattended(now)).delivered == 3
    assert send_waiting(space, played, Unattended(now)).delivered == 0
    (held,) = (d for d in deliveries(space, played) if d.state is State.WAITING)
    let_go(space, played, held.id, "the desk asked for it")
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    assert len(list(desk.iterdir())) == 4


def review(space: Workspace, of: Match, standing: Standing, now: Instant) -> None:
    """The goal of the 74th minute is looked at again, or decided."""
    log = log_of(space, of)
    goal = [e for e in current(log) if e.kind is Kind.GOAL][-1]
    number = EntryId(len(log) + 1)
    new = replace(goal, id=number, standing=standing, supersedes=goal.id, typed=now)
    add_entries(space, of, [new])


@pytest.mark.parametrize(
    ("standing", "goes"), [(Standing.STANDS, True), (Standing.DISALLOWED, False)]
)
def test_a_goal_under_review_is_held_until_it_is_decided(
    space: Workspace,
    played: Match,
    joy: str,
    tmp_path: Path,
    now: Instant,
    standing: Standing,
    goes: bool,
) -> None:
    """A picture of a goal under review waits; when it stands it goes with the score."""
    desk = folder_desk(space, tmp_path, "City", now)
    review(space, played, Standing.UNDER_REVIEW, now)
    queue_set(space, played, ["City"], Unattended(now))
    assert only(space, played) == (State.WAITING, "review")
    review(space, played, standing, now)
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    (sent,) = (read_fields(p.read_bytes()).description for p in desk.iterdir())
    assert ("2–1" in sent) is goes
    assert ("disallowed" in sent) is not goes


def test_a_desk_may_have_a_goal_under_review_without_its_score(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """Such a desk gets the picture at once without a score, and not again when the goal stands."""
    settings = DeskSettings(under_review=UnderReview.WITHOUT_SCORE)
    desk = folder_desk(space, tmp_path, "City", now, settings=settings)
    review(space, played, Standing.UNDER_REVIEW, now)
    assert queue_set(space, played, ["City"], Unattended(now)).queued == 1
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    (sent,) = (read_fields(p.read_bytes()).description for p in desk.iterdir())
    assert "under review" in sent
    assert "–1" not in sent
    review(space, played, Standing.STANDS, now)
    queue_set(space, played, ["City"], Unattended(now))
    assert send_waiting(space, played, Unattended(now)).delivered == 0


def test_an_exclusive_goes_to_its_desk_alone(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """An exclusive is refused for every other desk, in words."""
    folder_desk(space, tmp_path, "City", now)
    folder_desk(space, tmp_path, "North", now)
    set_terms(space, played, joy, Unattended(now), exclusive_to="north")
    queued = queue_set(space, played, ["City", "North"], Unattended(now))
    assert queued.queued == 1
    assert [(n.desk, n.waits) for n in queued.left_out] == [("City", "")]
    assert "for North alone" in queued.left_out[0].why[0]


def test_a_pictures_own_credit_and_terms_are_written(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """Credit, usage terms, job number and the pool mark of a picture stand in its file."""
    desk = folder_desk(space, tmp_path, "City", now)
    terms = {
        "credit": "Ida Marlow/Pool",
        "usage_terms": "No sales.",
        "pool": True,
        "job_id": "J-77",
    }
    set_terms(space, played, joy, Unattended(now), **terms)
    queue_set(space, played, ["City"], Unattended(now))
    send_waiting(space, played, Unattended(now))
    (fields,) = (read_fields(p.read_bytes()) for p in desk.iterdir())
    assert (fields.credit, fields.usage_terms) == ("Ida Marlow/Pool", "No sales.")
    assert fields.instructions.startswith("Pool picture")
    assert (fields.job_id, fields.supplier_image_id) == ("J-77", "A-0231")


def test_a_desks_folder_is_made_for_each_match(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """A folder with a pattern is filled in for each picture, and made where it is missing."""
    folder_desk(space, tmp_path, "City", now)
    known = desk_named(space, "City")
    address = replace(known.address, folder="in/{{ date }}_{{ home }}")
    add_desk(space, replace(known, address=address), Unattended(now))
    queue_set(space, played, ["City"], Unattended(now))
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    (sent,) = (tmp_path / "City").rglob("*.jpg")
    assert sent.parent.relative_to(tmp_path / "City").as_posix() == "in/20270306_Lethenbruck"
    with pytest.raises(WrongUse):
        add_desk(
            space, replace(known, address=replace(address, folder="{{ day }}")), Unattended(now)
        )


def test_a_credit_too_long_for_its_field_waits_for_the_check(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """A picture's own credit is checked like any field: 33 bytes do not fit 32."""
    folder_desk(space, tmp_path, "City", now)
    set_terms(space, played, joy, Unattended(now), credit="x" * 33)
    (left,) = queue_set(space, played, ["City"], Unattended(now)).left_out
    assert (left.waits, "credit" in " ".join(left.why)) == (Reason.CHECK, True)


def test_a_fact_that_changes_in_the_queue_changes_the_picture(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """What is queued when a fact changes goes out with the fact of now, once."""
    desk = folder_desk(space, tmp_path, "City", now)
    queue_set(space, played, ["City"], Unattended(now))
    log = log_of(space, played)
    goal = next(e for e in current(log) if e.kind is Kind.GOAL)
    add_entries(
        space,
        played,
        [
            replace(
                goal,
                id=EntryId(len(log) + 1),
                standing=Standing.DISALLOWED,
                supersedes=goal.id,
                typed=now,
            )
        ],
    )
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    (sent,) = (read_fields(p.read_bytes()).description for p in desk.iterdir())
    assert "1–1" in sent
    assert look_again(space, played, Unattended(now)) == 0


def test_a_new_caption_version_takes_the_place_of_a_queued_one(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """Captioned anew before it went, a picture goes once, with the newer caption."""
    desk = folder_desk(space, tmp_path, "City", now)
    queue_set(space, played, ["City"], Unattended(now))
    write_caption(space, played, joy, "9r celebrates", Unattended(now))
    assert queue_set(space, played, ["City"], Unattended(now)).queued == 1
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    (sent,) = (read_fields(p.read_bytes()).description for p in desk.iterdir())
    assert "Kolbrand" not in sent


def test_a_picture_the_desk_has_is_a_corrections_matter(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """A delivered picture with a newer caption is not simply sent a second time."""
    desk = folder_desk(space, tmp_path, "City", now)
    queue_set(space, played, ["City"], Unattended(now))
    send_waiting(space, played, Unattended(now))
    write_caption(space, played, joy, "9r celebrates", Unattended(now))
    (left,) = queue_set(space, played, ["City"], Unattended(now)).left_out
    assert "setpiece correct list" in left.why[0]
    assert send_waiting(space, played, Unattended(now)).delivered == 0
    assert len(list(desk.iterdir())) == 1


def test_a_crop_is_in_the_rendition_and_not_in_the_original(
    space: Workspace, played: Match, joy: str, tmp_path: Path, now: Instant
) -> None:
    """A crop of the left half gives a picture half as wide; the original keeps its bytes."""
    desk = folder_desk(space, tmp_path, "City", now)
    folder = space.folder / played.folder / "frames"
    before = {p: p.read_bytes() for p in folder.rglob("*.JPG")}
    set_edit(space, played, joy, Edit((0.0, 0.0, 0.5, 1.0)), Unattended(now))
    queue_set(space, played, ["City"], Unattended(now))
    send_waiting(space, played, Unattended(now))
    (sent,) = (p.read_bytes() for p in desk.iterdir())
    assert decode_jpeg_header(sent)[:2] == (300, 225)
    assert {p: p.read_bytes() for p in folder.rglob("*.JPG")} == before


@pytest.mark.parametrize("ends", [False, True])
def test_a_frame_that_cannot_be_made_is_named_and_the_others_go(
    space: Workspace,
    played: Match,
    joy: str,
    tmp_path: Path,
    now: Instant,
    monkeypatch: pytest.MonkeyPatch,
    ends: bool,
) -> None:
    """One frame whose file cannot be made is left out by name; a full disk ends the run."""
    other = shoot(space, played, 233, at(2, "28:50"))
    write_caption(space, played, other, LINE, Unattended(now))
    folder_desk(space, tmp_path, "City", now)
    real = Preparing.with_file

    def one_fails(self, row, frame, made):
        if frame.id == joy:
            raise (NoSpace if ends else GiveUp)("it cannot be made")
        return real(self, row, frame, made)

    monkeypatch.setattr(Preparing, "with_file", one_fails)
    if ends:
        with pytest.raises(NoSpace):
            queue_set(space, played, ["City"], Unattended(now))
        return
    queued = queue_set(space, played, ["City"], Unattended(now))
    assert queued.queued == 1
    assert [(n.desk, n.why) for n in queued.left_out] == [("City", ("it cannot be made.",))]
