"""The phases of a clinic's signals: agreed, withdrawn, and read for a page or for the method."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import isfinite
from typing import TYPE_CHECKING

from django.db import transaction
from django.db.models import QuerySet

from clinic.actions.audit import held_data_version, write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_reason, require_right
from clinic.clock import now, today
from clinic.shards import Clinic, Person
from surveillance.models import BaselinePhase

if TYPE_CHECKING:
    from surveillance.signals.phases import Phases

AMEND = "baseline.amend"  # access.csv
LARGEST_RATE = 10.0  # per patient-year; beyond it a slip of the decimal point


def standing_phases(clinic: Clinic) -> QuerySet[BaselinePhase]:
    """In order of their first days, each with its author."""
    found = BaselinePhase.objects.filter(clinic=clinic, withdrawn_at=None)
    return found.select_related("by")


def phases_of(clinics: Sequence[Clinic]) -> Phases:
    """The same for several clinics, as the method wants them."""
    from surveillance.periods import day_number
    from surveillance.signals.phases import Phase  # brings numpy, which few requests need

    found: dict[str, list[Phase]] = {}
    rows = BaselinePhase.objects.filter(clinic__in=clinics, withdrawn_at=None)
    for code, first_day, rate in rows.values_list("clinic__code", "first_day", "baseline_rate"):
        found.setdefault(code, []).append(Phase(day_number(first_day), rate))
    return found


@transaction.atomic
def agree_phase(
    *, clinic: Clinic, by: Person, first_day: date, baseline_rate: float | None, reason: str
) -> BaselinePhase:
    """From this day on the signals start anew and expect this rate (None: the target).

    A phase that stands on the same day is withdrawn for it. The event makes the clinic's figures
    due again, as any other change does.
    """
    require_right(by, AMEND, clinic)
    require_reason(reason)
    _check(clinic, first_day, baseline_rate)
    held_data_version(clinic)  # two who agree at once come one after the other
    before = standing_phases(clinic).filter(first_day=first_day).first()
    if before is not None:
        _mark_withdrawn(before, by, reason)
    made = BaselinePhase.objects.create(
        clinic=clinic, by=by, first_day=first_day, baseline_rate=baseline_rate,
        reason=reason.strip()[:400],
    )  # fmt: skip
    write_event(
        clinic=clinic, by=by, verb="agree", thing="baseline_phase", thing_uid=made.uid,
        reason=reason.strip(),
        changes={
            "first_day": [before and before.first_day, first_day],
            "baseline_rate": [before and before.baseline_rate, baseline_rate],
        },
    )  # fmt: skip
    return made


@transaction.atomic
def withdraw_phase(*, phase: BaselinePhase, by: Person, reason: str) -> BaselinePhase:
    """Take a phase back; the one before it then holds on."""
    require_right(by, AMEND, phase.clinic)
    require_reason(reason)
    held_data_version(phase.clinic)
    phase.refresh_from_db()
    if phase.withdrawn_at is not None:
        raise refuse("first_day", "This phase was withdrawn already.")
    _mark_withdrawn(phase, by, reason)
    write_event(
        clinic=phase.clinic, by=by, verb="withdraw", thing="baseline_phase", thing_uid=phase.uid,
        reason=reason.strip(),
        changes={
            "first_day": [phase.first_day, None], "baseline_rate": [phase.baseline_rate, None],
        },
    )  # fmt: skip
    return phase


def _check(clinic: Clinic, first_day: date, rate: float | None) -> None:
    day = today(clinic)
    if first_day > day:
        raise refuse("first_day", f"{first_day} is after today ({day} at {clinic.name}).")
    if rate is not None and not (isfinite(rate) and 0 < rate <= LARGEST_RATE):
        raise refuse(
            "baseline_rate",
            f"{rate} per patient-year: write a number above 0 and at most {LARGEST_RATE:.0f}, "
            "or leave it empty for the target.",
        )


def _mark_withdrawn(phase: BaselinePhase, by: Person, reason: str) -> None:
    phase.withdrawn_by, phase.withdrawn_at = by, now()
    phase.withdrawn_reason = reason.strip()[:400]
    phase.save(update_fields=["withdrawn_by", "withdrawn_at", "withdrawn_reason"])
