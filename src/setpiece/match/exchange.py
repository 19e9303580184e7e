"""Everything of a match that leaves and comes back in an open form (see `docs/formats.md`)."""

from setpiece.match.log_exchange import (
    read_clock,
    read_log_csv,
    read_log_json,
    write_clock,
    write_log_csv,
    write_log_json,
)
from setpiece.match.sheet_exchange import (
    read_sheet_csv,
    read_sheet_json,
    write_sheet_csv,
    write_sheet_json,
)
from setpiece.match.sheet_text import read_person_line, read_sheet_text

__all__ = [
    "read_clock",
    "read_log_csv",
    "read_log_json",
    "read_person_line",
    "read_sheet_csv",
    "read_sheet_json",
    "read_sheet_text",
    "write_clock",
    "write_log_csv",
    "write_log_json",
    "write_sheet_csv",
    "write_sheet_json",
]
