"""What the demo's photographer decided before the match: the ground, the seats, the wants."""

from __future__ import annotations

from importlib.resources import files

from setpiece.match.people import Side
from setpiece.plan.day import Contact
from setpiece.plan.wants import STORIES, Angle, Want
from setpiece.store.copying import write_proved
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.before.plan import GROUND
from setpiece.work.before.wants import change_choices, write_want
from setpiece.work.demo import squads
from setpiece.work.job import Caller

LENSES = ("400/2.8", "70-200/2.8", "24-70/4")
WANTS = (
    Want(person=squads.person_id(Side.HOME, 9), angle=Angle.COVER),
    Want(person=squads.person_id(Side.HOME, 8), angle=Angle.MILESTONE, note="100th cup match"),
    Want(
        person=squads.person_id(Side.AWAY, 10), angle=Angle.RETURN, note="first start of the year"
    ),
    STORIES["sponsors' boards"],
)


def demo_ground_text() -> str:
    """The demo's ground, as the TOML file of its match."""
    return files("setpiece.work.demo").joinpath("ground.toml").read_text("utf-8")


def plan_the_demo(space: Workspace, of: Match, caller: Caller) -> None:
    """Puts the ground into the match's folder, chooses lenses and list, writes the wants."""
    write_proved(demo_ground_text().encode(), match_folder(space, of) / GROUND)
    change_choices(
        space,
        of,
        caller,
        template="cup",
        lenses=LENSES,
        shutter="1/1600",
        travel_min=75,
        contacts=(
            Contact("Media office", "at the ground", "+43 3100 550"),
            Contact("Picture desk North", "desk", "+43 1 550 0"),
        ),
    )
    for want in WANTS:
        write_want(space, of, want, caller)
