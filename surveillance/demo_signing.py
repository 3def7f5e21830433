"""The demonstration's frozen quarters: prepared and signed by people, each on its own day."""

from __future__ import annotations

from clinic.demo.days import on_day
from clinic.demo.parameters import Signed
from surveillance.extract import Clinic, Person
from surveillance.models import Snapshot
from surveillance.snapshots import prepare_quarter, sign_quarter


def freeze(told: Signed) -> None:
    """As any quarter is frozen, and once: what an earlier run did is left alone."""
    clinic = Clinic.objects.get(code=told.clinic)
    frozen = Snapshot.objects.filter(clinic=clinic, through=told.quarter).exclude(state="draft")
    if frozen.filter(state__in=("signed", "superseded")).exists():
        return
    with on_day(told.prepared_on):
        prepared = frozen.filter(state="prepared").first() or prepare_quarter(
            clinic=clinic, quarter=told.quarter, by=Person.objects.get(username=told.prepared_by)
        )
    if told.signed_on is not None:
        with on_day(told.signed_on):
            sign_quarter(
                snapshot=prepared, by=Person.objects.get(username=told.signed_by),
                digest=prepared.digest,
            )  # fmt: skip
