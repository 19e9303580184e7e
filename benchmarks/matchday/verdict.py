"""What came of the day, held against the script: truths, which may not fail, and targets."""

from __future__ import annotations

import json
import statistics
import subprocess
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import xxhash

from benchmarks.matchday.desks import STYLES
from benchmarks.matchday.operator import Notes
from benchmarks.matchday.script import RIGHT_SCORER, WRONG_SCORER, Chosen, Day
from setpiece.match.entries import Entry, Kind
from setpiece.match.instants import Instant
from setpiece.store.delivery import Delivery, State
from setpiece.store.delivery import Kind as Sent
from setpiece.store.matches import match_folder
from setpiece.store.requests import Stage, requests_of
from setpiece.work.desk.changed import caption_sent
from setpiece.work.desk.desks import desk_named
from setpiece.work.desk.preparing import Preparing
from setpiece.work.matchday import Matchday

TYPED_WITHIN_S = 1.5
"""A key's instant on the laptop: the phone knows the difference of the clocks to half an
exchange, which at ten times speed is a second of the day."""


@dataclass(frozen=True)
class Verdict:
    """One line: what was asked, what was found; `truth` False for a target that may be missed."""

    what: str
    found: str
    holds: bool
    truth: bool = True

    @property
    def line(self) -> str:
        """As printed."""
        word = "holds" if self.holds else ("FALSE" if self.truth else "MISSED")
        return f"{word:7}{self.what:66}{self.found}"


@dataclass(frozen=True)
class AtDesk:
    """One file at a desk, as ExifTool reads it."""

    name: str
    headline: str
    description: str
    instructions: str
    status: str
    created: str


@dataclass(frozen=True)
class Outcome:
    """Everything that the day left behind.

    `written` are the hashes of what the cameras wrote, by name; `came` when the last byte of each
    picture came to a desk, by frame.
    """

    day: Day
    notes: Notes
    matchday: Matchday
    files: dict[str, list[AtDesk]]
    written: dict[str, str]
    came: dict[str, dict[str, Instant]]


def read_desk(files: dict[str, Path]) -> list[AtDesk]:
    """What a desk has, read by ExifTool in one run."""
    if not files:
        return []
    command = ["exiftool", "-j", "-charset", "iptc=UTF8", "-XMP-photoshop:Headline",
               "-XMP-dc:Description", "-XMP-photoshop:Instructions", "-IPTC:EditStatus",
               "-XMP-photoshop:DateCreated", *map(str, files.values())]  # fmt: skip
    ran = subprocess.run(command, capture_output=True, check=True, timeout=600)
    found: list[dict[str, Any]] = json.loads(ran.stdout)
    return [
        AtDesk(
            name,
            str(f.get("Headline", "")),
            str(f.get("Description", "")),
            str(f.get("Instructions", "")),
            str(f.get("EditStatus", "")),
            str(f.get("DateCreated", "")),
        )
        for name, f in zip(files, found, strict=True)
    ]


def truths(of: Outcome) -> Iterator[Verdict]:
    """Every truth of the day but those of the debrief."""
    yield _frames(of)
    yield from _deliveries(of)
    yield _request(of)
    yield _phone(of)
    yield from _accepted(of)
    yield _times(of)
    yield _night(of)


def says(what: str, wrong: Sequence[str], found: str) -> Verdict:
    """A truth, with the first of what is wrong about it."""
    shown = found if not wrong else f"{len(wrong)} wrong: " + "; ".join(wrong[:4])
    return Verdict(what, shown, not wrong)


# ----- frames -----


def _frames(of: Outcome) -> Verdict:
    """Every file that a camera wrote stands in the workspace, byte for byte."""
    day = of.matchday
    folder = match_folder(day.space, day.match)
    held = defaultdict(list)
    for file in day.files:
        held[file.name].append(file)
    wrong = []
    for name, content in of.written.items():
        kept = [f for f in held[name] if f.content == content]
        if not kept:
            wrong.append(f"{name} is missing")
        elif _hash(folder / kept[0].path) != content:
            wrong.append(f"{name} is not as it was")
        elif not kept[0].frame_id:
            wrong.append(f"{name} is no frame")
    if len(day.frames) != len(of.written):
        wrong.append(f"{len(day.frames)} frames instead of {len(of.written)}")
    unseen = [f.handle for f in day.frames.values() if f.look is None or f.damaged]
    wrong += [f"{h} was not looked at, or is damaged" for h in unseen]
    return says("every frame of the cards in the workspace, byte for byte", wrong,
                 f"{len(of.written)} frames read again")  # fmt: skip


def _hash(path: Path) -> str:
    digest = xxhash.xxh3_128()
    try:
        with path.open("rb") as stream:
            while block := stream.read(1 << 20):
                digest.update(block)
    except OSError as error:
        return str(error)
    return digest.hexdigest()


# ----- desks -----


def _deliveries(of: Outcome) -> Iterator[Verdict]:
    """What the desks have, held against the script, the outbox and today's facts."""
    by_file = _by_file(of)
    once, text, corrected = [], [], []
    pictures = corrections = 0
    for desk in STYLES:
        there = {f.name: f for f in of.files[desk]}
        sent = {n: d for (name, n), d in by_file.items() if name == desk}
        once += [f"{n} at {desk}, not in the outbox" for n in there if n not in sent]
        once += [f"{n} not at {desk}" for n in sent if n not in there]
        both = {n: (d, there[n]) for n, d in sent.items() if n in there}
        text += [w for d, file in both.values() for w in _wrong_text(d, file)]
        had = {k: sorted(_name_of(of, d) for d, _ in both.values() if d.kind is k) for k in Sent}
        once += _difference(desk, sorted(_wanted(of, desk)), had[Sent.PICTURE])
        corrected += _difference(desk, _told_wrong(of, both.values()), had[Sent.CORRECTION])
        text += _last_version(of, desk, both.values())
        corrected += _put_right(of, desk, both.values())
        pictures += len(had[Sent.PICTURE])
        corrections += len(had[Sent.CORRECTION])
    yield says("every chosen picture at each desk exactly once, nothing else there", once,
                f"{pictures} pictures at {len(STYLES)} desks")  # fmt: skip
    yield says("each with the right caption of the right version (ExifTool)", text,
                f"{pictures + corrections} files read")  # fmt: skip
    yield says("the wrong scorer put right at each desk that had her, once", corrected,
                f"{corrections} corrections")  # fmt: skip


def file_at_desk(item: Delivery) -> str:
    """Where a delivery's file stands below the desk's folder."""
    return f"{item.remote_folder.strip('/')}/{item.remote_name}"


def _by_file(of: Outcome) -> dict[tuple[str, str], Delivery]:
    arrived = [d for d in of.matchday.outbox if d.state is State.DELIVERED]
    return {(d.desk, file_at_desk(d)): d for d in arrived}


def _wanted(of: Outcome, desk: str) -> Iterator[str]:
    for chosen in (*of.day.chosen, *of.day.night_chosen):
        if not chosen.spare or desk == "city":
            yield chosen.exposure.name


def _told_wrong(of: Outcome, both: Iterable[tuple[Delivery, AtDesk]]) -> list[str]:
    """The pictures that told of the first goal before its scorer was put right."""
    return [_name_of(of, d) for d, file in both
            if d.kind is Sent.PICTURE and WRONG_SCORER in file.description
            and _name_of(of, d) in _telling(of)]  # fmt: skip


def _telling(of: Outcome) -> set[str]:
    return {c.exposure.name for c in of.day.chosen if c.tells_goal}


def _name_of(of: Outcome, item: Delivery) -> str:
    return of.matchday.frames[item.frame_id].best_file.rpartition("/")[2]


def _difference(desk: str, wanted: list[str], had: list[str]) -> list[str]:
    missing = [f"{n} not at {desk}" for n in wanted if n not in had]
    more = [f"{n} too much at {desk}" for n in set(had) if had.count(n) > wanted.count(n)]
    return missing + more


def _wrong_text(item: Delivery, file: AtDesk) -> Iterator[str]:
    """Whether the file says what the outbox says it says."""
    caption = caption_sent(item)
    if caption is None:
        yield f"{file.name}: no caption kept"
    elif (file.headline, file.description) != (caption.fields.headline, caption.fields.description):
        yield f"{file.name}: {file.description!r}, kept {caption.fields.description!r}"


def _last_version(of: Outcome, desk: str, both: Iterable[tuple[Delivery, AtDesk]]) -> Iterator[str]:
    """Whether the newest file of each frame says what today's facts make of its line, and names
    whom the script says it shows."""
    newest: dict[str, tuple[Delivery, AtDesk]] = {}
    for item, file in sorted(both, key=lambda b: b[0].id):
        newest[item.frame_id] = (item, file)
    preparing = Preparing(of.matchday, of.day.ends)
    known = {c.exposure.name: c for c in (*of.day.chosen, *of.day.night_chosen)}
    for item, file in newest.values():
        frame = of.matchday.frames[item.frame_id]
        fields = preparing.of(frame, desk_named(of.matchday.space, desk)).caption.fields
        if file.description != fields.description:
            yield f"{file.name} at {desk}: {file.description!r}, now {fields.description!r}"
        chosen = known.get(_name_of(of, item))
        for name in chosen.names if chosen else ():
            if name not in file.description:
                yield f"{file.name} at {desk} does not name {name}"


def _put_right(of: Outcome, desk: str, both: Iterable[tuple[Delivery, AtDesk]]) -> Iterator[str]:
    """Whether a desk's newest picture of the first goal names its scorer, and says that it is a
    correction where it is one."""
    newest: dict[str, AtDesk] = {}
    corrections = 0
    for item, file in sorted(both, key=lambda b: b[0].id):
        if (name := _name_of(of, item)) in _telling(of):
            newest[name] = file
        if item.kind is Sent.CORRECTION:
            corrections += 1
            if file.status != "CORRECTION" or not file.instructions:
                yield f"{file.name} at {desk} does not say that it is a correction"
    for file in newest.values():
        if RIGHT_SCORER not in file.description or WRONG_SCORER in file.description:
            yield f"{file.name} at {desk} does not name the scorer: {file.description!r}"
    if not corrections:
        yield f"no correction at {desk}"


def _request(of: Outcome) -> Verdict:
    """The request ended with the picture at its desk, and nowhere else."""
    asked = requests_of(of.matchday.space, of.matchday.match)
    wrong = [f"request {r.id} is {r.stage}" for r in asked if r.stage is not Stage.CLOSED]
    if len(asked) != 1:
        wrong.append(f"{len(asked)} requests")
    return says("the desk that rang has its picture, its request is closed", wrong, "1 request")


# ----- log -----


def _phone(of: Outcome) -> Verdict:
    """Every key once in the log, at its instant."""
    first: list[Entry] = [e for e in of.matchday.log if e.supersedes is None
                          and e.kind is not Kind.NOTE]  # fmt: skip
    wrong = []
    for key in of.day.keys:
        near = [e for e in first
                if abs((e.typed - key.typed).total_seconds()) <= TYPED_WITHIN_S]  # fmt: skip
        if len(near) != 1:
            wrong.append(f"{key.line} is {len(near)} times in the log")
    if len(first) != len(of.day.keys):
        wrong.append(f"{len(first)} entries instead of {len(of.day.keys)}")
    return says("every key of the phone once in the log, at its instant", wrong,
                 f"{len(first)} entries")  # fmt: skip


def _accepted(of: Outcome) -> Iterator[Verdict]:
    """What the page took is there, whatever died or was full afterwards."""
    day = of.matchday
    by_file = {f.best_file.rpartition("/")[2]: f for f in day.frames.values()}
    wrong = []
    for name, line in of.notes.captioned.items():
        kept = day.captions.get(by_file[name].id)
        if kept is None or kept.caption.shorthand != line:
            wrong.append(f"{name} lost {line}")
    wrong += [f"{n} is no more in use" for n in of.notes.used
              if by_file[n].decision.value != "use"]  # fmt: skip
    notes = [e.note for e in day.log if e.kind is Kind.NOTE]
    wrong += [f"{n} is {notes.count(n)} times in the log" for n in of.notes.noted
              if notes.count(n) != 1]  # fmt: skip
    done = len(of.notes.captioned) + len(of.notes.used) + len(of.notes.noted)
    yield says("everything the page had taken is there", wrong, f"{done} acts")
    more = [n for n in notes if n not in of.notes.noted]
    yield says("nothing it had refused is there", more, f"{len(of.notes.refusals)} refusals")


# ----- time -----


def _times(of: Outcome) -> Verdict:
    """Each frame's true time lies in the interval that the product states."""
    by_file = {f.best_file.rpartition("/")[2]: f.id for f in of.matchday.frames.values()}
    wrong, widths = [], []
    for exposure in of.day.exposures:
        frame = by_file.get(exposure.name)
        at = of.matchday.times.get(frame or "")
        if at is None:
            wrong.append(f"{exposure.name} has no time")
            continue
        widths.append((at.end - at.start).total_seconds())
        if not at.start <= exposure.true <= at.end:
            away_s = (at.middle - exposure.true).total_seconds()
            wrong.append(f"{exposure.name} is placed {away_s:+.2f} s off")
    middle = statistics.median(widths) if widths else 0.0
    return says("every frame's true time within the stated one", wrong,
                 f"stated to {middle:.2f} s, median")  # fmt: skip


def _night(of: Outcome) -> Verdict:
    """What was shot before the change tells summer time, what was shot after it winter time."""
    wrong = []
    wanted = {
        c.exposure.name: f"{c.exposure.camera.stamp(c.exposure.true)[2]}"
        for c in of.day.night_chosen
    }
    names = {there: _name_of(of, d) for there, d in _by_file(of).items()}
    seen = 0
    for desk, files in of.files.items():
        for file in files:
            name = names.get((desk, file.name), "")
            if name in wanted:
                seen += 1
                if not file.created.endswith(wanted[name]):
                    wrong.append(f"{name} at {desk}: {file.created}, not {wanted[name]}")
    if seen != len(wanted) * len(of.files):
        wrong.append(f"{seen} of the night's files seen")
    return says(
        "frames before and after the clocks go back tell their zone", wrong, f"{seen} files"
    )


def chosen_count(day: Day) -> int:
    """How many pictures go to every desk."""
    everything: tuple[Chosen, ...] = (*day.chosen, *day.night_chosen)
    return sum(not c.spare for c in everything)
