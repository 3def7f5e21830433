"""Actions of root-cause reviews: due on the day that the review named; long overdue ones stand
on Gaps."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from clinic.due.line import WATCH_DAYS, Due, short
from clinic.models import Clinic, RootCauseReview


def lines(clinic: Clinic, day: date) -> Iterator[Due]:
    rows = RootCauseReview.objects.filter(
        peritonitis__patient__clinic=clinic, withdrawn_at=None, peritonitis__withdrawn_at=None,
        closed_on=None, due_on__gt=day - timedelta(days=WATCH_DAYS),
    ).select_related("peritonitis__patient__clinic")  # fmt: skip
    for row in rows:
        said = ", ".join(filter(None, (row.action, row.owner)))
        yield Due(
            row, "Action of the root-cause review",
            said or f"review of {short(row.reviewed_on)}", row.due_on, "Close the action",
            ("amend", "root_cause_reviews", row),
        )  # fmt: skip
