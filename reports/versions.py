"""Which stored version a page, a file or a command takes."""

from __future__ import annotations

from django.db.models import QuerySet

from clinic.models import Clinic
from surveillance.models import Snapshot
from surveillance.snapshots import newest_draft, periods

RULE_SET = "rule_2022"


def versions_of(clinic: Clinic, quarter: str) -> QuerySet[Snapshot]:
    """The frozen versions of a quarter, newest first."""
    return frozen_snapshots().filter(clinic=clinic, through=quarter, rule_set=RULE_SET)


def best_snapshot(clinic: Clinic, quarter: str, period: str) -> Snapshot | None:
    """The signed version of the quarter, else the prepared one, else the newest draft."""
    frozen = versions_of(clinic, quarter)
    for state in ("signed", "prepared"):
        found = frozen.filter(state=state).order_by("-id").first()
        if found is not None and period in periods(found):
            return found
    return newest_draft(clinic, period)


def frozen_snapshots() -> QuerySet[Snapshot]:
    """Every version that a person prepared, with the names that its page shows."""
    frozen = Snapshot.objects.exclude(state="draft")
    return frozen.select_related("clinic", "prepared_by", "returned_by", "signed_by")
