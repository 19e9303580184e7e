"""What goes next: the order of an outbox by what each picture is worth now.

What is worth v when it happened is worth v * 2^(-age / HALF_LIFE_S) when it arrives. To send it
takes p seconds, its bytes over the measured rate. Of several that wait for one link, the sum of
what they are worth on arrival is greatest when they go in falling order of

    v(now) * e^(-r p) / (1 - e^(-r p))        with r = ln 2 / HALF_LIFE_S

which is the rule of weighted discounted shortest processing time (Rothkopf, "Scheduling
independent tasks on parallel processors", Management Science 12 (1966) 437; from memory, and
held to every order of small outboxes by a test). Before that counts urgency: kills, corrections,
then requests and goals, then the rest.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import expm1, log

from setpiece.store.delivery import Delivery, Urgency

HALF_LIFE_S = 600.0
"""In this time a picture loses half of what it is worth. Our choice: a goal is good within 3
minutes of its event and usual after 10 to 30 (published times of lone photographers)."""

OF_AN_EVENT = 3.0
"""What a picture of something in the log is worth against one of play. Our choice."""

_DECAY_PER_S = log(2) / HALF_LIFE_S


@dataclass(frozen=True, slots=True)
class Offer:
    """One delivery as the order sees it: `age_s` since what it shows happened, seconds to send."""

    key: int
    urgency: int
    weight: float
    age_s: float
    send_s: float


def worth(weight: float, age_s: float) -> float:
    """What a picture is worth so long after its event; before it, what it is worth fresh."""
    return float(weight * 2.0 ** (-max(age_s, 0.0) / HALF_LIFE_S))


def standing(offer: Offer) -> tuple[int, float, int]:
    """The key to sort by: what comes first is smallest. What is wrong keeps its order."""
    if offer.urgency < Urgency.FIRST:
        return offer.urgency, 0.0, offer.key
    density = worth(offer.weight, offer.age_s) / expm1(_DECAY_PER_S * max(offer.send_s, 1e-3))
    return offer.urgency, -density, offer.key


def in_order(offers: Iterable[Offer]) -> tuple[Offer, ...]:
    """The offers as they should go."""
    return tuple(sorted(offers, key=standing))


def bytes_left(delivery: Delivery) -> int:
    """Bytes of a delivery that the desk does not have yet, for all we know."""
    return max(0, delivery.size - delivery.moved_bytes)
