"""Who waits now: a call that opened an episode, and nobody has come yet."""

from __future__ import annotations

from datetime import timedelta

from clinic.clock import now
from clinic.models import Call, Clinic

WAITING = timedelta(days=2)  # common practice, no source; after that it is an overdue episode


def waiting_calls(clinic: Clinic) -> list[Call]:
    """The latest call of each episode without an arrival, the earliest first."""
    rows = Call.objects.filter(
        withdrawn_at=None,
        called_at__gte=now() - WAITING,
        peritonitis__withdrawn_at=None,
        peritonitis__closed_as="",
        peritonitis__presented_at=None,
        peritonitis__first_antibiotic_at=None,
        peritonitis__patient__clinic=clinic,
        peritonitis__patient__withdrawn_at=None,
        peritonitis__patient__died_on=None,
    ).select_related("peritonitis__patient__clinic")
    latest = {row.peritonitis_id: row for row in rows.order_by("called_at")}
    return sorted(latest.values(), key=lambda row: row.called_at)
