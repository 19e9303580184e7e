"""The rows that the room of frames adds to the accuracy report."""

from __future__ import annotations

from test_clock_fit_against_derived_values import CHECKS as DERIVED
from test_clock_fit_against_drift_tables import CHECKS as DRIFT
from test_clock_fit_against_nist_norris import CHECKS as NORRIS
from test_clock_fit_against_telephone_data import CHECKS as TELEPHONE


def report_rows() -> list[tuple[str, str, str, float, float, float, str]]:
    """Each check as (quantity, source, section, published, ours, tolerance, why)."""
    return [
        (c.quantity, c.source, c.section, c.published, c.value(), c.tolerance, c.why)
        for c in (*NORRIS, *TELEPHONE, *DRIFT, *DERIVED)
    ]
