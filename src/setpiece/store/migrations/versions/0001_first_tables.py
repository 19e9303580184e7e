"""The first tables of a workspace."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "camera",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("make", sa.Text(), nullable=False),
        sa.Column("model", sa.Text(), nullable=False),
        sa.Column("serial", sa.Text(), nullable=False),
        sa.Column("letter", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_camera"),
        sa.UniqueConstraint("letter", name="uq_camera_letter"),
        sa.UniqueConstraint("make", "model", "serial", name="uq_camera_make_model_serial"),
    )
    op.create_table(
        "clock_step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("boot", sa.Text(), nullable=False),
        sa.Column("running_s", sa.Float(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("step_s", sa.Float(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_clock_step"),
    )
    op.create_table(
        "copy_place",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("folder", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_copy_place"),
        sa.UniqueConstraint("folder", name="uq_copy_place_folder"),
    )
    op.create_table(
        "desk",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("style", sa.Text(), nullable=False),
        sa.Column("settings", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_desk"),
    )
    op.create_table(
        "handling",
        sa.Column("frame_id", sa.Text(), nullable=False),
        sa.Column("edit", sa.Text(), nullable=False),
        sa.Column("terms", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("frame_id", name="pk_handling"),
    )
    op.create_table(
        "match",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("folder", sa.Text(), nullable=False),
        sa.Column("folder_was", sa.Text(), nullable=False),
        sa.Column("fixture", sa.Text(), nullable=True),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_match"),
        sa.UniqueConstraint("folder", name="uq_match_folder"),
    )
    op.create_table(
        "news",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=True),
        sa.Column("topic", sa.Text(), nullable=False),
        sa.Column("about", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_news"),
    )
    op.create_table(
        "clock_fit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("camera_id", sa.Integer(), nullable=False),
        sa.Column("fit", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["camera_id"], ["camera.id"], name="fk_clock_fit_camera_id"),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_clock_fit_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_clock_fit"),
    )
    op.create_table(
        "clock_pair",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("camera_id", sa.Integer(), nullable=False),
        sa.Column("frame_id", sa.Text(), nullable=False),
        sa.Column("pair", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["camera_id"], ["camera.id"], name="fk_clock_pair_camera_id"),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_clock_pair_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_clock_pair"),
    )
    op.create_table(
        "entry",
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("entry", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_entry_match_id"),
        sa.UniqueConstraint("match_id", "number", name="uq_entry_match_id_number"),
    )
    op.create_table(
        "frame",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("camera_id", sa.Integer(), nullable=True),
        sa.Column("handle", sa.Text(), nullable=False),
        sa.Column("reading", sa.Text(), nullable=True),
        sa.Column("resolution_s", sa.Float(), nullable=True),
        sa.Column("zone_offset_min", sa.Integer(), nullable=True),
        sa.Column("file_number", sa.Integer(), nullable=True),
        sa.Column("typed_time", sa.Text(), nullable=True),
        sa.Column("metadata", sa.Text(), nullable=False),
        sa.Column("best_file", sa.Text(), nullable=False),
        sa.Column("decision", sa.Text(), nullable=False),
        sa.Column("protected", sa.Boolean(), nullable=False),
        sa.Column("damaged", sa.Boolean(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("look", sa.Text(), nullable=True),
        sa.Column("taken_in", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["camera_id"], ["camera.id"], name="fk_frame_camera_id"),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_frame_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_frame"),
    )
    op.create_index("ix_frame_match_id_frame_reading", "frame", ["match_id", "reading"])
    op.create_table(
        "passage_pin",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("pin", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_passage_pin_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_passage_pin"),
    )
    op.create_table(
        "request",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("desk", sa.Text(), nullable=False),
        sa.Column("wanted", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["desk"], ["desk.name"], name="fk_request_desk"),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_request_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_request"),
    )
    op.create_table(
        "sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_sheet_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_sheet"),
    )
    op.create_table(
        "waiting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("frame_id", sa.Text(), nullable=False),
        sa.Column("protected", sa.Boolean(), nullable=False),
        sa.Column("facts", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_waiting_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_waiting"),
        sa.UniqueConstraint("match_id", "source", name="uq_waiting_match_id_source"),
    )
    op.create_table(
        "caption",
        sa.Column("frame_id", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["frame_id"], ["frame.id"], name="fk_caption_frame_id"),
        sa.UniqueConstraint("frame_id", "version", name="uq_caption_frame_id_version"),
    )
    op.create_table(
        "delivery",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("frame_id", sa.Text(), nullable=False),
        sa.Column("caption_version", sa.Integer(), nullable=False),
        sa.Column("desk", sa.Text(), nullable=False),
        sa.Column("made_from", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("remote_folder", sa.Text(), nullable=False),
        sa.Column("remote_name", sa.Text(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("queued", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("urgency", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("period", sa.Integer(), nullable=True),
        sa.Column("happened", sa.Text(), nullable=False),
        sa.Column("weight", sa.Float(), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("looked", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("request_id", sa.Integer(), nullable=True),
        sa.Column("not_before", sa.Text(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("leased_by", sa.Text(), nullable=False),
        sa.Column("leased_until", sa.Text(), nullable=False),
        sa.Column("moved_bytes", sa.Integer(), nullable=False),
        sa.Column("leftover", sa.Boolean(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("receipt", sa.Text(), nullable=True),
        sa.Column("ended", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["corrects"], ["delivery.id"], name="fk_delivery_corrects"),
        sa.ForeignKeyConstraint(["desk"], ["desk.name"], name="fk_delivery_desk"),
        sa.ForeignKeyConstraint(["frame_id"], ["frame.id"], name="fk_delivery_frame_id"),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_delivery_match_id"),
        sa.ForeignKeyConstraint(["request_id"], ["request.id"], name="fk_delivery_request_id"),
        sa.PrimaryKeyConstraint("id", name="pk_delivery"),
        sa.UniqueConstraint(
            "desk",
            "frame_id",
            "caption_version",
            "made_from",
            name="uq_delivery_desk_frame_id_caption_version_made_from",
        ),
    )
    op.create_index("ix_delivery_state_delivery_not_before", "delivery", ["state", "not_before"])
    op.create_table(
        "file",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("frame_id", sa.Text(), nullable=True),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("facts", sa.Text(), nullable=False),
        sa.Column("metadata", sa.Text(), nullable=False),
        sa.Column("modified_s", sa.Float(), nullable=True),
        sa.Column("protected", sa.Boolean(), nullable=False),
        sa.Column("taken_in", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["frame_id"], ["frame.id"], name="fk_file_frame_id"),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_file_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_file"),
        sa.UniqueConstraint("match_id", "content", "path", name="uq_file_match_id_content_path"),
    )
    op.create_index("ix_file_frame_id", "file", ["frame_id"])
    op.create_table(
        "overrule",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("frame_id", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["frame_id"], ["frame.id"], name="fk_overrule_frame_id"),
        sa.PrimaryKeyConstraint("id", name="pk_overrule"),
    )
    op.create_table(
        "file_copy",
        sa.Column("file_id", sa.Integer(), nullable=False),
        sa.Column("place_id", sa.Integer(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["file_id"], ["file.id"], name="fk_file_copy_file_id"),
        sa.ForeignKeyConstraint(["place_id"], ["copy_place.id"], name="fk_file_copy_place_id"),
        sa.UniqueConstraint("file_id", "place_id", name="uq_file_copy_file_id_place_id"),
    )
