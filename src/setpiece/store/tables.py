"""The workspace's tables. The chain of changes to them is in `migrations/versions`.

Facts that belong together and are never searched by their parts (a fixture, a team sheet, a
log entry, a caption) are kept as JSON documents of the frozen dataclasses; what is searched
or joined is a column. Instants are ISO 8601 text in UTC, so they sort.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(column_0_N_label)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _match() -> Column[int]:
    return Column("match_id", Integer, ForeignKey("match.id"), nullable=False)


def _frame() -> Column[str]:
    return Column("frame_id", Text, ForeignKey("frame.id"), nullable=False)


match = Table(
    "match",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("folder", Text, nullable=False, unique=True),
    Column("folder_was", Text, nullable=False, default=""),
    Column("fixture", Text),
    Column("made", Text, nullable=False),
)

sheet = Table(
    "sheet",
    METADATA,
    Column("id", Integer, primary_key=True),
    _match(),
    Column("sheet", Text, nullable=False),
    Column("made", Text, nullable=False),
)

entry = Table(
    "entry",
    METADATA,
    _match(),
    Column("number", Integer, nullable=False),
    Column("typed", Text, nullable=False),
    Column("entry", Text, nullable=False),
    UniqueConstraint("match_id", "number"),
)

camera = Table(
    "camera",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("make", Text, nullable=False),
    Column("model", Text, nullable=False),
    Column("serial", Text, nullable=False),
    Column("letter", Text, nullable=False, unique=True),
    UniqueConstraint("make", "model", "serial"),
)

frame = Table(
    "frame",
    METADATA,
    Column("id", Text, primary_key=True),
    _match(),
    Column("camera_id", Integer, ForeignKey("camera.id")),
    Column("handle", Text, nullable=False),
    Column("reading", Text),
    Column("resolution_s", Float),
    Column("zone_offset_min", Integer),
    Column("file_number", Integer),
    Column("typed_time", Text),
    Column("metadata", Text, nullable=False),
    Column("best_file", Text, nullable=False),
    Column("decision", Text, nullable=False, default=""),
    Column("protected", Boolean, nullable=False, default=False),
    Column("damaged", Boolean, nullable=False, default=False),
    Column("note", Text, nullable=False, default=""),
    Column("look", Text),
    Column("taken_in", Text, nullable=False),
    Index(None, "match_id", "reading"),
)

file = Table(
    "file",
    METADATA,
    Column("id", Integer, primary_key=True),
    _match(),
    Column("content", Text, nullable=False),
    Column("frame_id", Text, ForeignKey("frame.id")),
    Column("path", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("source", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("size", Integer, nullable=False),
    Column("facts", Text, nullable=False),
    Column("metadata", Text, nullable=False),
    Column("modified_s", Float),
    Column("protected", Boolean, nullable=False),
    Column("taken_in", Text, nullable=False),
    UniqueConstraint("match_id", "content", "path"),
    Index(None, "frame_id"),
)

waiting = Table(
    "waiting",
    METADATA,
    Column("id", Integer, primary_key=True),
    _match(),
    Column("source", Text, nullable=False),
    Column("frame_id", Text, nullable=False),
    Column("protected", Boolean, nullable=False),
    Column("facts", Text, nullable=False),
    UniqueConstraint("match_id", "source"),
)

copy_place = Table(
    "copy_place",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("folder", Text, nullable=False, unique=True),
    Column("made", Text, nullable=False),
)

file_copy = Table(
    "file_copy",
    METADATA,
    Column("file_id", Integer, ForeignKey("file.id"), nullable=False),
    Column("place_id", Integer, ForeignKey("copy_place.id"), nullable=False),
    Column("path", Text, nullable=False),
    Column("made", Text, nullable=False),
    UniqueConstraint("file_id", "place_id"),
)

passage_pin = Table(
    "passage_pin",
    METADATA,
    Column("id", Integer, primary_key=True),
    _match(),
    Column("kind", Text, nullable=False),
    Column("pin", Text, nullable=False),
    Column("made", Text, nullable=False),
)

clock_step = Table(
    "clock_step",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("boot", Text, nullable=False),
    Column("running_s", Float, nullable=False),
    Column("at", Text, nullable=False),
    Column("step_s", Float, nullable=False),
)

clock_pair = Table(
    "clock_pair",
    METADATA,
    Column("id", Integer, primary_key=True),
    _match(),
    Column("camera_id", Integer, ForeignKey("camera.id"), nullable=False),
    Column("frame_id", Text, nullable=False, default=""),
    Column("pair", Text, nullable=False),
    Column("made", Text, nullable=False),
)

clock_fit = Table(
    "clock_fit",
    METADATA,
    Column("id", Integer, primary_key=True),
    _match(),
    Column("camera_id", Integer, ForeignKey("camera.id"), nullable=False),
    Column("fit", Text, nullable=False),
    Column("made", Text, nullable=False),
)

caption = Table(
    "caption",
    METADATA,
    _frame(),
    Column("version", Integer, nullable=False),
    Column("caption", Text, nullable=False),
    Column("made", Text, nullable=False),
    UniqueConstraint("frame_id", "version"),
)

overrule = Table(
    "overrule",
    METADATA,
    Column("id", Integer, primary_key=True),
    _frame(),
    Column("version", Integer, nullable=False),
    Column("code", Text, nullable=False),
    Column("reason", Text, nullable=False),
    Column("made", Text, nullable=False),
)

desk = Table(
    "desk",
    METADATA,
    Column("name", Text, primary_key=True),
    Column("address", Text, nullable=False),
    Column("style", Text, nullable=False),
    Column("settings", Text, nullable=False, default="{}"),
    Column("made", Text, nullable=False),
)

handling = Table(
    "handling",
    METADATA,
    Column("frame_id", Text, primary_key=True),
    Column("edit", Text, nullable=False, default="{}"),
    Column("terms", Text, nullable=False, default="{}"),
    Column("made", Text, nullable=False),
)

request = Table(
    "request",
    METADATA,
    Column("id", Integer, primary_key=True),
    _match(),
    Column("desk", Text, ForeignKey("desk.name"), nullable=False),
    Column("wanted", Text, nullable=False),
    Column("state", Text, nullable=False),
    Column("words", Text, nullable=False, default=""),
    Column("made", Text, nullable=False),
)

delivery = Table(
    "delivery",
    METADATA,
    Column("id", Integer, primary_key=True),
    _match(),
    _frame(),
    Column("caption_version", Integer, nullable=False),
    Column("desk", Text, ForeignKey("desk.name"), nullable=False),
    Column("made_from", Text, nullable=False),
    Column("content", Text, nullable=False),
    Column("path", Text, nullable=False),
    Column("remote_folder", Text, nullable=False),
    Column("remote_name", Text, nullable=False),
    Column("size", Integer, nullable=False),
    Column("state", Text, nullable=False),
    Column("queued", Text, nullable=False),
    Column("kind", Text, nullable=False, default="picture"),
    Column("urgency", Integer, nullable=False, default=3),
    Column("reason", Text, nullable=False, default=""),
    Column("period", Integer),
    Column("happened", Text, nullable=False, default=""),
    Column("weight", Float, nullable=False, default=1.0),
    Column("caption", Text, nullable=False, default=""),
    Column("looked", Integer),
    Column("corrects", Integer, ForeignKey("delivery.id")),
    Column("request_id", Integer, ForeignKey("request.id")),
    Column("not_before", Text, nullable=False, default=""),
    Column("attempts", Integer, nullable=False, default=0),
    Column("leased_by", Text, nullable=False, default=""),
    Column("leased_until", Text, nullable=False, default=""),
    Column("moved_bytes", Integer, nullable=False, default=0),
    Column("leftover", Boolean, nullable=False, default=False),
    Column("words", Text, nullable=False, default=""),
    Column("note", Text, nullable=False, default=""),
    Column("receipt", Text),
    Column("ended", Text, nullable=False, default=""),
    UniqueConstraint("desk", "frame_id", "caption_version", "made_from"),
    Index(None, "state", "not_before"),
)

news = Table(
    "news",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("match_id", Integer),
    Column("topic", Text, nullable=False),
    Column("about", Text, nullable=False),
    Column("made", Text, nullable=False),
)
