"""One signed quarter of the demonstration, so that its auditor has something to read."""

from __future__ import annotations

from clinic.demo.parameters import Parameters
from surveillance.extract import Clinic, Person
from surveillance.models import Snapshot
from surveillance.snapshots import prepare_quarter, sign_quarter

PREPARED_BY, SIGNED_BY = "teasel", "hazel"


def sign_demo_quarter(numbers: Parameters) -> None:
    """Prepared by one person and signed by another, as any quarter is; once."""
    clinic = Clinic.objects.get(code=numbers.signed_clinic)
    quarter = numbers.signed_quarter
    frozen = Snapshot.objects.filter(clinic=clinic, through=quarter).exclude(state="draft")
    if frozen.filter(state__in=("signed", "superseded")).exists():
        return
    prepared = frozen.filter(state="prepared").first() or prepare_quarter(
        clinic=clinic, quarter=quarter, by=Person.objects.get(username=PREPARED_BY)
    )
    sign_quarter(
        snapshot=prepared, by=Person.objects.get(username=SIGNED_BY), digest=prepared.digest
    )
