"""Reassessments, sign-offs and exit-site checks of those on PD, by the clinic's own schedule."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from django.db.models import Max, Q, QuerySet

from clinic.clinic_text import wording_of
from clinic.due import retraining, sign_offs
from clinic.due.line import Due, short
from clinic.exit_site import looks_healthy
from clinic.models import Clinic, ExitSiteCheck, Patient, Training

# After a check with a finding; common practice, no source, and a setting of ours.
CHECK_AGAIN_DAYS = 14


def lines(clinic: Clinic, day: date) -> Iterator[Due]:
    wording = wording_of(clinic)
    on_pd = _on_pd(clinic, day)
    after_events = list(retraining.lines(clinic, day, on_pd, wording))
    yield from after_events
    # One training settles both: the patient stands on the list once.
    trained_anyway = {line.row.pk for line in after_events}
    yield from _reassessments(on_pd.exclude(pk__in=trained_anyway), wording.reassessment_days)
    yield from sign_offs.lines(day, on_pd)
    yield from _exit_site_checks(on_pd, wording.exit_site_check_days)


def _on_pd(clinic: Clinic, day: date) -> QuerySet[Patient]:
    rows = clinic.patients.filter(withdrawn_at=None, died_on=None)
    return rows.filter(
        Q(pdspell_rows__last_day_on=None) | Q(pdspell_rows__last_day_on__gte=day),
        pdspell_rows__withdrawn_at=None, pdspell_rows__started_on__lte=day,
    ).select_related("clinic").distinct()  # fmt: skip


def _reassessments(on_pd: QuerySet[Patient], days: int) -> Iterator[Due]:
    standing = Q(training_rows__withdrawn_at=None)
    for patient in on_pd.annotate(latest=Max("training_rows__completed_on", filter=standing)):
        if patient.latest is not None:
            yield Due(
                patient, "Reassessment of technique", f"latest on {short(patient.latest)} "
                f"{patient.latest.year}", patient.latest + timedelta(days=days),
                "Enter the reassessment", ("add", Training.subject.name, patient), f"{days} days",
            )  # fmt: skip


def _exit_site_checks(on_pd: QuerySet[Patient], days: int) -> Iterator[Due]:
    """Only where such checks are kept: the first one begins the schedule."""
    for check in _latest(ExitSiteCheck.objects.filter(patient__in=on_pd, withdrawn_at=None)):
        healthy = looks_healthy(check)
        after = days if healthy else min(days, CHECK_AGAIN_DAYS)
        said = f"latest on {short(check.checked_on)} {check.checked_on.year}"
        yield Due(
            check.patient, "Exit-site check", said if healthy else f"{said}, with a finding",
            check.checked_on + timedelta(days=after), "Enter the check",
            ("add", ExitSiteCheck.subject.name, check.patient), f"{after} days",
        )  # fmt: skip


def _latest(checks: QuerySet[ExitSiteCheck]) -> Iterable[ExitSiteCheck]:
    ordered = checks.select_related("patient__clinic").order_by("checked_on")
    return {check.patient_id: check for check in ordered}.values()
