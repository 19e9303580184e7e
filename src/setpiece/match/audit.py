"""The log held against the sheet, the rules and itself: remarks, never refusals.

Whatever can really happen can be logged. What looks wrong is said with its reason, and the
photographer decides.
"""

from __future__ import annotations

from setpiece.match import audit_goals, audit_people, audit_time
from setpiece.match.fold import Fold
from setpiece.match.remark import Remark


def audit(fold: Fold) -> tuple[Remark, ...]:
    """Everything about the log that looks wrong, in the order of the entries it concerns."""
    found = [
        *audit_time.remarks(fold),
        *audit_people.remarks(fold),
        *audit_goals.remarks(fold),
    ]
    return tuple(sorted(found, key=lambda remark: remark.entries[:1]))
