"""Which files are of one exposure.

The rules, in this order; every one of them looks at all files at once, so that the order in
which files were taken in makes no difference:

1. Same content: the same file, wherever it lies (second slot, a card taken twice).
2. Same body, same second, same file number, and sub-seconds that do not contradict: raw and
   JPEG, second slot, small copy sent over the air, truncated copy, a copy rated in the camera.
   A file without serial number or sub-seconds joins only where exactly one exposure fits.
3. Same folder and base name, where what the cameras wrote does not contradict: for a picture of
   which nothing could be read (cut short, or a raw file that says nothing).
4. Same body and the same hundredth of a second, but at most nine tenths of the pixels: a crop or
   a copy made in the camera, which gets a new number, or a small copy that was renamed. Only
   where exactly one larger exposure has that time, and the body is seen to count hundredths.
5. Voice memo and sidecar go to the picture of the same folder and base name, and stay on their
   own where there is none, or where two could be meant.

The name alone never joins two pictures that the cameras' own words keep apart: numbers roll
over and two bodies share names.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from setpiece.frames.file_facts import FileFacts
from setpiece.frames.stamps import on_step

SMALLER_SHARE = 0.9
"""A copy or crop has at most this share of the original's pixels: raw previews and pictures of
one exposure differ by a few rows only (common practice, no source)."""

CROP_SUBSEC_DIGITS = 2
COARSER_S = 0.1
"""Hundredths tell exposures apart at up to 100 frames a second, where a body really counts them:
where its readings are not all on the coarser step. Some write two digits and count tenths."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """The files of one exposure, and what is not sure about them."""

    files: tuple[FileFacts, ...]
    doubts: tuple[str, ...] = ()


class _Sets:
    """Disjoint sets of file positions."""

    def __init__(self, size: int) -> None:
        self._parent = list(range(size))

    def root(self, i: int) -> int:
        while self._parent[i] != i:
            self._parent[i] = self._parent[self._parent[i]]
            i = self._parent[i]
        return i

    def join(self, members: Iterable[int]) -> None:
        roots = sorted({self.root(i) for i in members})
        for other in roots[1:]:
            self._parent[other] = roots[0]

    def roots(self, members: Iterable[int]) -> list[int]:
        return sorted({self.root(i) for i in members})


def exposures(files: Iterable[FileFacts]) -> tuple[Exposure, ...]:
    """Every file in exactly one exposure, by the rules at the head of this module."""
    all_files = tuple(sorted(set(files), key=_order))
    sets = _Sets(len(all_files))
    doubts: dict[int, list[str]] = defaultdict(list)
    _join_same_content(all_files, sets)
    _join_same_key(all_files, sets, doubts)
    _join_same_name(all_files, sets)
    _join_smaller(all_files, sets, doubts)
    _join_attachments(all_files, sets, doubts)
    members: dict[int, list[int]] = defaultdict(list)
    for i in range(len(all_files)):
        members[sets.root(i)].append(i)
    return tuple(
        Exposure(
            tuple(all_files[i] for i in inside),
            tuple(dict.fromkeys(text for i in inside for text in doubts.get(i, ()))),
        )
        for inside in members.values()
    )


def _order(file: FileFacts) -> tuple[str, ...]:
    """A fixed order of files, so that the same files always give the same answer."""
    return file.folder, file.name, file.content, repr(file)


def _join_same_content(files: Sequence[FileFacts], sets: _Sets) -> None:
    same: dict[str, list[int]] = defaultdict(list)
    for i, file in enumerate(files):
        if file.is_picture:
            same[file.content].append(i)
    for members in same.values():
        sets.join(members)


@dataclass(frozen=True, slots=True)
class _Body:
    """What a file says of the body and the fraction of the second; empty where silent."""

    serial: str
    model: str
    subsec: str

    def is_refined_by(self, other: _Body) -> bool:
        """Whether `other` says the same and perhaps more."""
        if self.serial not in ("", other.serial) or self.model not in ("", other.model):
            return False
        return other.subsec.startswith(self.subsec)

    def contradicts(self, other: _Body) -> bool:
        """Whether the two cannot be of one exposure."""
        return (
            bool(self.serial and other.serial and self.serial != other.serial)
            or bool(self.model and other.model and self.model != other.model)
            or not (self.subsec.startswith(other.subsec) or other.subsec.startswith(self.subsec))
        )


def _body(file: FileFacts) -> _Body:
    return _Body(file.serial, file.model, file.subsec)


def _second(file: FileFacts) -> str:
    """The whole second on the camera's clock, empty when it wrote no time."""
    return f"{file.camera_time.reading:%Y-%m-%dT%H:%M:%S}" if file.camera_time else ""


def _join_same_key(files: Sequence[FileFacts], sets: _Sets, doubts: dict[int, list[str]]) -> None:
    alike: dict[tuple[str, int], list[int]] = defaultdict(list)
    for i, file in enumerate(files):
        if file.is_picture and file.camera_time and file.file_number is not None:
            if file.serial or file.model:
                alike[_second(file), file.file_number].append(i)
    for members in alike.values():
        by_body: dict[_Body, list[int]] = defaultdict(list)
        for i in members:
            by_body[_body(files[i])].append(i)
        for same in by_body.values():
            sets.join(same)
        for body, same in by_body.items():
            fuller = [b for b in by_body if b != body and body.is_refined_by(b)]
            fullest = [b for b in fuller if not any(b != c and b.is_refined_by(c) for c in by_body)]
            if len(fullest) == 1:
                sets.join((same[0], by_body[fullest[0]][0]))
            elif fullest:
                for i in same:
                    doubts[i].append(f"{files[i].name} could be of {len(fullest)} exposures")


def _join_same_name(files: Sequence[FileFacts], sets: _Sets) -> None:
    for members in _pictures_by_place(files).values():
        told = [i for i in members if files[i].camera_time]
        silent = [i for i in members if not files[i].camera_time]
        if len(sets.roots(told)) > 1 and _agree([files[i] for i in told]):
            sets.join(told)
        if not silent:
            continue
        whole_kinds = [files[i].kind for i in members if not files[i].damaged]
        if len(sets.roots(told)) <= 1 and len(whole_kinds) == len(set(whole_kinds)):
            sets.join(members)


def _agree(files: Sequence[FileFacts]) -> bool:
    """Whether files of one name, each of another kind, say nothing that contradicts."""
    kinds = [f.kind for f in files]
    if len(set(kinds)) < len(kinds) or len({_second(f) for f in files}) > 1:
        return False
    bodies = [_body(f) for f in files]
    return not any(a.contradicts(b) for a in bodies for b in bodies)


def _pictures_by_place(files: Sequence[FileFacts]) -> dict[tuple[str, str], list[int]]:
    places: dict[tuple[str, str], list[int]] = defaultdict(list)
    for i, file in enumerate(files):
        if file.is_picture:
            places[file.place].append(i)
    return places


def _join_smaller(files: Sequence[FileFacts], sets: _Sets, doubts: dict[int, list[str]]) -> None:
    moments: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    counts_hundredths: set[str] = set()
    for i, file in enumerate(files):
        body = file.serial or file.model
        if file.is_picture and file.camera_time and body and file.pixels:
            moments[body, _second(file), file.subsec].append(i)
            if not on_step(file.camera_time, COARSER_S):
                counts_hundredths.add(body)
    for (body, _, subsec), members in moments.items():
        roots = sets.roots(members)
        if len(roots) < 2:
            continue
        pixels = {r: max(files[i].pixels for i in members if sets.root(i) == r) for r in roots}
        largest = max(pixels.values())
        originals = [r for r in roots if pixels[r] > largest * SMALLER_SHARE]
        smaller = [r for r in roots if r not in originals]
        sure = len(subsec) >= CROP_SUBSEC_DIGITS and body in counts_hundredths
        if len(originals) == 1 and sure:
            sets.join((originals[0], *smaller))
            continue
        for i in members:
            if sets.root(i) in smaller:
                doubts[i].append(f"{files[i].name} may be a copy or crop of another frame")


def _join_attachments(
    files: Sequence[FileFacts], sets: _Sets, doubts: dict[int, list[str]]
) -> None:
    places = _pictures_by_place(files)
    attached: dict[tuple[str, str], list[int]] = defaultdict(list)
    alone: list[int] = []
    for i, file in enumerate(files):
        if file.is_picture:
            continue
        owners = sets.roots(places.get(file.place, ()))
        if len(owners) == 1:
            sets.join((owners[0], i))
            attached[file.content, file.place[1]].append(i)
        else:
            alone.append(i)
            if owners:
                doubts[i].append(f"{file.name} could belong to {len(owners)} frames")
    left: dict[tuple[str, str], list[int]] = defaultdict(list)
    for i in alone:
        owners = sets.roots(attached.get((files[i].content, files[i].place[1]), ()))
        if len(owners) == 1 and files[i].size:
            sets.join((owners[0], i))
        else:
            left[files[i].place].append(i)
    for members in left.values():
        sets.join(members)
