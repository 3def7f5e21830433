"""The invented network's decisions: what its directors decided, marked on their charts."""

from __future__ import annotations

from clinic.actions.decisions import record_decision
from clinic.demo.parameters import Parameters
from clinic.models import Clinic, Decision, Person


def record_demo_decisions(numbers: Parameters) -> None:
    """Entered by the director who decided, once."""
    for told in numbers.decisions:
        clinic = Clinic.objects.get(code=told.clinic)
        if Decision.objects.filter(clinic=clinic, decided_on=told.decided_on).exists():
            continue
        by = Person.objects.get(username=told.decided_by)
        record_decision(
            clinic=clinic, by=by, decided_on=told.decided_on, decision=told.decision, owner=by,
            measure=told.measure, marker=told.marker, review_on=told.review_on,
        )  # fmt: skip
