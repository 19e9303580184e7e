"""What comes after the match against what is demanded of it, as docs/accuracy.md prints it.

Sources: BagIt 1.0, RFC 8493 (2018), read by the Library of Congress's `bagit`; the other demands
are the project's own. No tolerance.
"""

from __future__ import annotations

import after_report
import pytest

pytestmark = pytest.mark.published


def test_every_figure_of_the_report_is_what_is_demanded() -> None:
    """Bags, rebuilt tables, flipped bits and dirty statements: each figure is the demanded one."""
    rows = after_report.report_rows()
    assert [r[0] for r in rows if abs(r[4] - r[3]) > r[5]] == []
    assert len(rows) == 6
