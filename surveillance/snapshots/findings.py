"""What an auditor writes: what was found in the charts of a drawn sample; no figure moves."""

from __future__ import annotations

from collections.abc import Mapping

from django.db import transaction

from clinic.actions.audit import write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_right
from clinic.clock import now
from clinic.shards import Person
from surveillance.models import Finding, Snapshot

RIGHT = "finding.record"
MOST = 100_000  # beyond every count and every number of days of one patient in a year


@transaction.atomic
def record_findings(
    *,
    snapshot: Snapshot,
    by: Person,
    period: str,
    patient: str,
    reported: Mapping[str, int],
    found: Mapping[str, int],
    comment: str = "",
) -> list[Finding]:
    """One chart's answers, each beside what the report says; said again, the later one stands."""
    require_right(by, RIGHT, snapshot)
    for field, value in found.items():
        if field not in reported or not 0 <= value <= MOST:
            raise refuse(field, f"A whole number from 0 to {MOST:,}.")
    made = [
        Finding.objects.update_or_create(
            snapshot=snapshot, by=by, period=period, patient=patient, field=field,
            defaults={
                "reported": reported[field], "found": value, "comment": comment.strip()[:400],
                "at": now(),
            },
        )[0]
        for field, value in found.items()
    ]  # fmt: skip
    # In the house's chain: in the clinic's own it would look like a change of the record.
    write_event(
        clinic=None, by=by, verb="find", thing="snapshot", thing_uid=snapshot.uid,
        changes={field: [reported[field], value] for field, value in found.items()},
    )  # fmt: skip
    return made
