"""Recognising archive pictures on a cutting: shortlist, points that agree, the frame test.

The cutting is looked at as it is; where nothing is found, or what is found fills only a part of
it (a page, a screenshot), once more larger and softened, so that the dots of print and the text
around do not hide the picture.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np

from setpiece.books.cuttings import (
    STANDARD,
    FrameTest,
    Judged,
    Thresholds,
    Verdict,
    doubts_of,
    judged,
)
from setpiece.pictures.features import Features, Pixels, features_of
from setpiece.pictures.matching import Agreement, Matrix, agreement
from setpiece.pictures.outlines import common_share, corners_of, covered_share, crop_of
from setpiece.pictures.sameness import Overlay, laid_over
from setpiece.pictures.visual_words import Vocabulary, signatures_of, words_of
from setpiece.store.picture_index import PictureIndex
from setpiece.store.picture_points import KeptPoints, PointStore

SHORTLIST, WIDER = 15, 30
"""Pictures whose points are compared; more where a burst may hold better frames than those."""

_LOOK_ALIKE = 5
_WORDS_A_POINT = 2
_LAID_OVER, _FOLLOWED = 5, 2
_POINTS_TOLD = 60
_ONE_PLACE = 0.3
_PART_OF_PAGE = 0.6
_AS_MUCH = 0.97

PLAIN: MappingProxyType[str, Any] = MappingProxyType({})
PAGE: MappingProxyType[str, Any] = MappingProxyType(
    {"most": 1200, "long_side_px": 1400, "soften_px": 1.6}
)

Corners = tuple[tuple[float, float], ...]
PixelsOf = Callable[[KeptPoints], Pixels | None]


@dataclass(frozen=True, slots=True)
class Sighting:
    """A picture of the archive, recognised on a cutting. Everything is in shares of 1.

    `corners` are the frame's on the cutting; `crop` is what the cutting shows of the frame (left,
    top, width, height); `points` agree: x, y on the cutting, x, y in the frame. `others` are
    frames of the same moment that fit too.
    """

    name: str
    place: str
    verdict: Verdict
    why: tuple[str, ...]
    score: int
    corners: Corners = ()
    crop: tuple[float, float, float, float] | None = None
    test: FrameTest | None = None
    points: tuple[tuple[float, float, float, float], ...] = ()
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Candidate:
    kept: KeptPoints
    agreed: Agreement
    to_cutting: Matrix  # in shares
    corners: Corners
    points: tuple[tuple[float, float, float, float], ...]


_Laid = tuple[_Candidate, Overlay | None]


class Recogniser:
    """Looks cuttings up in one index. `pixels` gives a picture of the archive, None: not there."""

    def __init__(
        self,
        index: PictureIndex,
        store: PointStore,
        pixels: PixelsOf,
        limits: Thresholds = STANDARD,
    ) -> None:
        self._index, self._store, self._pixels, self._limits = index, store, pixels, limits
        self._words = Vocabulary(index.centres, index.medians)

    def look(self, rgb: Pixels) -> tuple[Sighting, ...]:
        """The best picture for every place on the cutting, those with most points first."""
        found = self._one_look(rgb, PLAIN)
        whole = any(s.claims and s.fills >= _PART_OF_PAGE for s in found)
        again = [] if whole else self._one_look(rgb, PAGE)
        return tuple(s.sighting for s in _merged(found, again))

    def shortlist(self, features: Features) -> tuple[list[int], list[int]]:
        """The numbers of pictures worth a comparison, likeliest first: by points, by the hash."""
        alike = self._index.like(features.looks, _LOOK_ALIKE)
        if features.count == 0:
            return [], alike
        words = words_of(self._words, features.descriptors, _WORDS_A_POINT)
        signatures = signatures_of(self._words, features.descriptors, words)
        likely = self._index.nearest(words, signatures, WIDER)
        return likely, [n for n in alike if n not in likely]

    def _one_look(self, rgb: Pixels, way: MappingProxyType[str, Any]) -> list[_Placed]:
        features = features_of(rgb, **way)
        likely, alike = self.shortlist(features)
        candidates = self._compared(features, likely[:SHORTLIST] + alike)
        if any(c.agreed.score >= self._limits.claim for c in candidates):
            candidates += self._compared(features, likely[SHORTLIST:])
        candidates = [c for c in candidates if c.agreed.score >= self._limits.look]
        candidates.sort(key=lambda c: -c.agreed.score)
        return [self._placed(rgb, group, printed=way is PAGE) for group in _by_place(candidates)]

    def _compared(self, features: Features, numbers: Sequence[int]) -> list[_Candidate]:
        found = []
        for kept in self._store.of([self._index.names[n] for n in numbers]):
            agreed = agreement(features, features_kept(kept))
            if agreed is not None:
                found.append(_candidate(features, kept, agreed))
        return found

    def _placed(self, rgb: Pixels, group: list[_Candidate], *, printed: bool) -> _Placed:
        """What is said of one place on the cutting, of all the frames that fit there."""
        best = group[0]
        if best.agreed.score < self._limits.claim:
            return _said(best, judged(best.agreed.score, None, self._limits), None, ())
        claims = [c for c in group if c.agreed.score >= self._limits.claim][:_LAID_OVER]
        laid = _likest_first((c, self._laid(rgb, c)) for c in claims)
        others = tuple(c.kept.name for c, _ in laid[1:])
        test = _tested(laid[0][1], softened=printed)
        verdict = judged(laid[0][0].agreed.score, test, self._limits)
        if verdict.verdict is Verdict.THIS_FRAME and any(
            not doubts_of(_tested(over, softened=printed), self._limits)
            for _, over in laid[1:_FOLLOWED]
        ):
            verdict = Judged(
                Verdict.SAME_MOMENT, (verdict.why[0], "other frames fit as well: nothing moved")
            )
        return _said(laid[0][0], verdict, test, others)

    def _laid(self, rgb: Pixels, candidate: _Candidate) -> Overlay | None:
        pixels = self._pixels(candidate.kept)
        return None if pixels is None else laid_over(rgb, pixels, candidate.to_cutting)


def _likest_first(laid: Iterable[_Laid]) -> list[_Laid]:
    """The frame that looks most alike comes first.

    Another burst from the same seat agrees where nothing moved, in much less of the picture. Of
    frames that agree in as much of it the one with fewest unlike tiles comes first: what was laid
    over the cutting is unlike in all of them.
    """
    laid = list(laid)
    most = max((over.agreeing for _, over in laid if over is not None), default=0)

    def unlike(pair: _Laid) -> tuple[bool, float, float]:
        over = pair[1]
        if over is None:
            return True, np.inf, 1.0
        return over.agreeing < _AS_MUCH * most, over.unlike, 1 - over.least_alike

    return sorted(laid, key=unlike)


def _tested(over: Overlay | None, *, softened: bool) -> FrameTest | None:
    if over is None:
        return None
    return FrameTest(over.changed(), over.alike, over.beyond, over.shown, softened)


@dataclass(frozen=True, slots=True)
class _Placed:
    sighting: Sighting
    fills: float  # the share of the cutting that it covers

    @property
    def claims(self) -> bool:
        return self.sighting.verdict in (Verdict.THIS_FRAME, Verdict.SAME_MOMENT)


def features_kept(kept: KeptPoints) -> Features:
    """A picture's features from its kept points."""
    return Features(
        np.frombuffer(kept.points, np.float32).reshape(-1, 2),
        np.frombuffer(kept.descriptors, np.uint8).reshape(-1, 128),
        kept.looks,
        kept.width_px,
        kept.height_px,
    )


def _candidate(features: Features, kept: KeptPoints, agreed: Agreement) -> _Candidate:
    seen = np.array([features.width_px, features.height_px], dtype=np.float64)
    archived = np.array([kept.width_px, kept.height_px], dtype=np.float64)
    through = np.diag([*(1 / seen), 1.0]) @ agreed.to_cutting @ np.diag([*archived, 1.0])
    shares = agreed.pairs / np.concatenate((seen, archived))
    told = shares[:: max(1, -(-len(shares) // _POINTS_TOLD))].round(4)
    points = tuple((float(a), float(b), float(c), float(d)) for a, b, c, d in told)
    return _Candidate(kept, agreed, through, corners_of(through), points)


def _by_place(candidates: Sequence[_Candidate]) -> list[list[_Candidate]]:
    """The candidates by where on the cutting they lie, the best of each place first."""
    groups: list[list[_Candidate]] = []
    for one in candidates:
        for group in groups:
            if common_share(group[0].corners, one.corners) > _ONE_PLACE:
                group.append(one)
                break
        else:
            groups.append([one])
    return groups


def _said(of: _Candidate, said: Judged, test: FrameTest | None, others: tuple[str, ...]) -> _Placed:
    sighting = Sighting(
        of.kept.name, of.kept.place, said.verdict, said.why, of.agreed.score, of.corners,
        crop_of(of.to_cutting), test, of.points, others,
    )  # fmt: skip
    return _Placed(sighting, covered_share(of.corners))


def _merged(first: list[_Placed], second: list[_Placed]) -> list[_Placed]:
    """What both looks claim, of two at one place the first; else the best that is worth a look."""
    claims = [p for p in first if p.claims]
    for one in second:
        places = (p.sighting.corners for p in claims)
        if one.claims and all(common_share(c, one.sighting.corners) <= _ONE_PLACE for c in places):
            claims.append(one)
    if claims:
        return sorted(claims, key=lambda p: -p.sighting.score)
    return sorted(first + second, key=lambda p: -p.sighting.score)[:1]
