"""Lines a photographer types at frames of the demo match, and the mistakes planted among them."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.instants import MinuteLabel
from setpiece.match.people import PersonId
from setpiece.match.state import Score
from setpiece.work.demo.planted import Planted, PlantedFrame
from setpiece.work.demo.wardrobe import by_shirt


@dataclass(frozen=True, slots=True)
class DemoLine:
    """One line of shorthand at a frame and what its caption must say.

    `act` is the act's identifier; `people` stand in the order of the line. `score` is the score
    the caption may print: at the frame, or the one that the goal shown has made.
    """

    frame: str
    line: str
    act: str
    people: tuple[PersonId, ...]
    label: MinuteLabel | None
    score: Score
    says: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlantedError:
    """A caption with one wrong fact. `finding` names the fact in plain words.

    Either `line` is shorthand, or `description` is text typed over a caption, or `field` is
    overwritten with `value`.
    """

    frame: str
    finding: str
    line: str = ""
    description: str = ""
    field: str = ""
    value: str = ""


_LINES: tuple[tuple[str, str, str, str, tuple[str, ...], tuple[str, ...]], ...] = (
    # passage, camera, line, act, who (shirts or identifiers), words the caption must hold
    ("goal-17", "A", "10r scores header", "scores", ("10r",), ("Mira Kolbrand", "1–0")),
    ("joy-17", "A", "10r celebrates", "celebrates", ("10r",), ("Mira Kolbrand",)),
    (
        "sisters-17",
        "A",
        "10r left embraces 11r right",
        "embraces",
        ("10r", "11r"),
        ("Mira Kolbrand", "Hanna Kolbrand"),
    ),
    ("supporters-17", "B", "r supporters celebrate", "celebrates", (), ("Lethenbruck supporters",)),
    (
        "coach-17",
        "A",
        "r coach reacts",
        "reacts",
        ("home-coach",),
        ("head coach Verena Stadlhuber",),
    ),
    (
        "tackle-29",
        "A",
        "5w tackles 9r",
        "tackles",
        ("5w", "9r"),
        ("Agnieszka Żelichowska", "Signe Ørbeck"),
    ),
    (
        "yellow-29",
        "A",
        "ref yellow 5w",
        "shows-yellow",
        ("referee", "5w"),
        ("Irena Vukmanić", "Agnieszka Żelichowska"),
    ),
    ("plain-8", "A", "fontalva runs with ball", "runs-with-ball", ("8r",), ("Ana de la Fontalva",)),
    (
        "own-goal",
        "A",
        "5r scores own goal",
        "scores-own-goal",
        ("5r",),
        ("Theresa Obergruber", "1–1"),
    ),
    (
        "joy-45",
        "A",
        "9w left celebrates with 11w right",
        "celebrates",
        ("9w", "11w"),
        ("Elin Brännmark", "Emi Hoshikado"),
    ),
    ("manager-45", "A", "w coach reacts", "reacts", ("away-coach",), ("manager Owen Tarrowby",)),
    (
        "joy-58",
        "A",
        "9w left celebrates with 10w right after disallowed goal",
        "celebrates",
        ("9w", "10w"),
        ("Elin Brännmark", "Chiara Montevago"),
    ),
    (
        "yellow-67",
        "A",
        "ref yellow 4r",
        "shows-yellow",
        ("referee", "4r"),
        ("Katarína Drobčeková",),
    ),
    (
        "penalty-68",
        "A",
        "1g saves 10w penalty",
        "saves-penalty",
        ("1g", "10w"),
        ("Annika Tveitmoen", "Chiara Montevago"),
    ),
    ("free-kick", "A", "9r scores free kick", "scores", ("9r",), ("Signe Ørbeck", "2–1")),
    (
        "joy-74",
        "A",
        "9r celebrates with 11r right",
        "celebrates",
        ("9r", "11r"),
        ("Signe Ørbeck", "Hanna Kolbrand"),
    ),
    (
        "three-74",
        "B",
        "4r left 9r centre 11r right celebrate",
        "celebrates",
        ("4r", "9r", "11r"),
        ("Katarína Drobčeková", "Signe Ørbeck", "Hanna Kolbrand"),
    ),
    (
        "change-76",
        "B",
        "17w replaces 8w",
        "replaces",
        ("17w", "8w"),
        ("Joana Pedregal", "Dilara Göksuner"),
    ),
    (
        "run-19",
        "A",
        "19r runs with ball against 3w",
        "runs-with-ball",
        ("19r", "3w"),
        ("Frida Kolmsen", "Noor van der Meulenbeek"),
    ),
    (
        "full-time",
        "A",
        "1g 9r 6r celebrate in order",
        "celebrates",
        ("1g", "9r", "6r"),
        ("Annika Tveitmoen", "Signe Ørbeck", "Lina Aschauer-Weiß"),
    ),
    (
        "sisters-after",
        "A",
        "10r left celebrates with 11r right",
        "celebrates",
        ("10r", "11r"),
        ("Mira Kolbrand", "Hanna Kolbrand"),
    ),
)

_STRIKES = {"goal-17": Score(1, 0), "own-goal": Score(1, 1), "free-kick": Score(2, 1)}
"""Passages that show a goal itself: their captions give the score it made."""

_LONG_HEADLINE = (
    "Lethenbruck goalkeeper Annika Tveitmoen dives to her right and saves the penalty of Chiara "
    "Montevago of Marnstein in the sixty-eighth minute of the Women's Lantern Cup semi-final "
    "between Lethenbruck and Marnstein at the Stadion an der Leth on Saturday 6 March 2027, with "
    "the score at one goal each"
)


def demo_lines(of: Planted) -> tuple[DemoLine, ...]:
    """Good lines, each at the sharpest frame of its passage."""
    found = []
    for passage, camera, line, act, who, says in _LINES:
        frame = _frame_for(of, passage, camera)
        found.append(
            DemoLine(
                frame=frame.id,
                line=line,
                act=act,
                people=tuple(_person(name) for name in who),
                label=frame.label,
                score=_STRIKES.get(passage, frame.score),
                says=says,
            )
        )
    return tuple(found)


def planted_errors(of: Planted) -> tuple[PlantedError, ...]:
    """Captions that are wrong in one fact each."""
    return (
        PlantedError(
            of.best("shot-17w").id,
            "a player who was not on the pitch at that minute",
            line="17w shoots against 7r",
        ),
        PlantedError(
            of.best("dismay-58").id,
            "a score that the log does not give",
            description=f"Elin Brännmark of TSV Marnstein reacts with the score at 2–1 in {_EVENT}",
        ),
        PlantedError(
            of.best("coach-74").id,
            "a head coach called manager",
            description=f"SK Lethenbruck manager Verena Stadlhuber reacts during {_EVENT}",
        ),
        PlantedError(
            of.best("dribble-7").id,
            "a name that differs from the sheet",
            description="Tavinha of SK Lethenbruck (right) runs with the ball against Petra "
            f"Lindenrott of TSV Marnstein (left) in {_EVENT}",
        ),
        PlantedError(
            of.best("joy-1g").id,
            "a field longer than its limit",
            line="1g left celebrates with 5r right",
            field="headline",
            value=_LONG_HEADLINE,
        ),
    )


_EVENT = (
    "the Women's Lantern Cup semi-final match between SK Lethenbruck and TSV Marnstein at the "
    "Stadion an der Leth in Lethenbruck, Austria, on Saturday, 6 March 2027."
)


def _frame_for(of: Planted, passage: str, camera: str) -> PlantedFrame:
    """The sharpest frame; of a goal or a save the sharpest one made after it happened."""
    pin = next((p for p in of.pins if of.frame(p.frame).passage == passage), None)
    if pin is None:
        return of.best(passage, camera)
    after = [
        f
        for f in of.frames
        if f.passage == passage and f.camera == camera and f.true >= pin.happened
    ]
    return min(after, key=lambda f: f.soft_px)


def _person(name: str) -> PersonId:
    return by_shirt(name).id if name[0].isdigit() else PersonId(name)
