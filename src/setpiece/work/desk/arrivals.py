"""When what waits will have arrived: the order by worth and the measured pace of each desk."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from setpiece.captions.style import HouseStyle
from setpiece.match.instants import Instant, instant, read_instant
from setpiece.store.delivery import TO_GO, Delivery, Kind, State
from setpiece.work.desk.desks import known_desks
from setpiece.work.desk.holdings import receipt_of
from setpiece.work.desk.pace import ASSUMED, Pace, Sent, arrivals, measured
from setpiece.work.desk.worth import Offer, bytes_left, in_order
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_style


@dataclass(frozen=True, slots=True)
class Expected:
    """When a delivery should arrive; `late_for` is the edition that it will miss, if any."""

    delivery: int
    at: Instant
    late_for: str = ""


def sent_to(outbox: Iterable[Delivery], desk: str) -> list[Sent]:
    """What arrived at a desk and how long it took, oldest first."""
    found = []
    for item in sorted((d for d in outbox if d.desk == desk and d.ended), key=lambda d: d.ended):
        receipt = receipt_of(item)
        if receipt is not None and receipt.seconds > 0:
            found.append(Sent(receipt.size - receipt.resumed_from, receipt.seconds))
    return found


def offer(item: Delivery, now: Instant, pace: Pace) -> Offer:
    """A delivery as the order by worth sees it."""
    happened = read_instant(item.happened) if item.happened else read_instant(item.queued)
    return Offer(
        item.id,
        item.urgency,
        item.weight,
        (now - happened).total_seconds(),
        pace.seconds(bytes_left(item)),
    )


def by_worth(items: Iterable[Delivery], now: Instant, pace: Pace | None) -> list[Delivery]:
    """These deliveries in the order in which they should go."""
    known = {item.id: item for item in items}
    rate = pace or ASSUMED
    return [known[o.key] for o in in_order(offer(item, now, rate) for item in known.values())]


def last_picture(outbox: Iterable[Delivery], desk: str) -> Instant | None:
    """When the last picture arrived at a desk."""
    times = [d.ended for d in outbox if d.desk == desk and d.ended and d.kind is not Kind.KILL]
    return read_instant(max(times)) if times else None


def may_go_at(last: Instant | None, style: HouseStyle) -> Instant | None:
    """When the next picture may go by the style's spacing; None for at once."""
    if last is None or not style.spacing_s:
        return None
    return instant(last + timedelta(seconds=style.spacing_s))


@dataclass(frozen=True, slots=True)
class OutboxRow:
    """A delivery, and when it should arrive; `expected` None where nothing can be said."""

    delivery: Delivery
    expected: Expected | None = None


def outbox_rows(day: Matchday, now: Instant) -> tuple[OutboxRow, ...]:
    """The whole outbox: what ended as it was queued, then what is to go in its order."""
    soon = expected(day, now) if day.outbox else {}
    rows = [OutboxRow(d, soon.get(d.id)) for d in day.outbox]
    return tuple(
        sorted(
            rows,
            key=lambda r: (
                r.delivery.state in TO_GO,
                r.expected.at.timestamp() if r.expected else 0.0,
                r.delivery.id,
            ),
        )
    )


def expected(day: Matchday, now: Instant) -> dict[int, Expected]:
    """When each delivery that is to go should arrive, by its number.

    Desks whose pace is not measured yet are left out: nothing is promised before the first
    picture. So are paused ones.
    """
    found: dict[int, Expected] = {}
    for desk in known_desks(day.space):
        pace = measured(sent_to(day.outbox, desk.name))
        if pace is None or desk.settings.paused:
            continue
        items = [d for d in day.outbox if d.desk == desk.name and d.state in TO_GO]
        going = [d for d in items if d.state is State.SENDING]
        queued = by_worth([d for d in items if d.state is not State.SENDING], now, pace)
        style = load_style(day.space.folder, desk.style)
        free = may_go_at(last_picture(day.outbox, desk.name), style)
        begins = max(now, free) if free else now
        order = [(d.id, bytes_left(d)) for d in (*going, *queued)]
        for number, at in arrivals(order, pace, begins, style.spacing_s).items():
            late = _missed(desk.settings.editions, now, at, day)
            found[number] = Expected(number, at, late)
    return found


def _missed(editions: Sequence[str], now: Instant, at: Instant, day: Matchday) -> str:
    """The first edition still open now that closes before this arrives."""
    closes = sorted(e for e in (day.read_time(f"{t}:00") for t in editions) if e >= now)
    missed = [e for e in closes if e < at]
    if not missed:
        return ""
    return next(t for t in editions if day.read_time(f"{t}:00") == missed[0])
