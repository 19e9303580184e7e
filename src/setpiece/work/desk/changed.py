"""Whether what a desk has still says what the facts say: only fields that tell something count."""

from __future__ import annotations

from setpiece.captions.caption import Caption
from setpiece.captions.fields import PictureFields
from setpiece.store.delivery import Delivery
from setpiece.store.forms import from_json

TELLING = (
    "headline", "description", "persons", "organisations", "event_name", "city", "sublocation",
    "state", "country", "country_code",
)  # fmt: skip
"""A picture is corrected for these. Keywords or a second in its time are no error to a reader."""


def caption_sent(item: Delivery) -> Caption | None:
    """The caption as it went to the desk, None where none is known (entered by hand)."""
    return from_json(Caption, item.caption) if item.caption else None


def telling_fields(old: PictureFields, new: PictureFields) -> tuple[str, ...]:
    """The names of fields that tell something and differ."""
    return tuple(name for name in TELLING if getattr(old, name) != getattr(new, name))


def matters(item: Delivery, now: PictureFields) -> bool:
    """Whether the caption that went out tells something else than these fields."""
    sent = caption_sent(item)
    return sent is not None and bool(telling_fields(sent.fields, now))
