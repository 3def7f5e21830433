"""The decisions of the invented clinics' meetings, entered on their own days."""

from __future__ import annotations

from clinic.actions.decisions import record_decision
from clinic.demo.days import on_day
from clinic.demo.parameters import Decided
from clinic.models import Clinic, Decision, Person


def decide(told: Decided) -> None:
    """Once: one that an earlier run entered is left alone."""
    clinic = Clinic.objects.get(code=told.clinic)
    if Decision.objects.filter(clinic=clinic, decided_on=told.decided_on).exists():
        return
    director = Person.objects.get(username=told.decided_by)
    with on_day(told.decided_on):
        record_decision(
            clinic=clinic, by=director, decided_on=told.decided_on, decision=told.decision,
            owner=director, measure=told.measure, marker=told.marker, review_on=told.review_on,
        )  # fmt: skip
