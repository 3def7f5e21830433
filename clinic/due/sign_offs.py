"""Sign-off of a training: the exchange observed without critical error, then signed off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from clinic.due.line import WATCH_DAYS, Due, short
from clinic.models import Patient, TechniqueObservation, Training
from clinic.technique import critical_slips, is_ready

# After the training; common practice, no source, and a setting of ours.
SIGN_OFF_DAYS = 7


def lines(day: date, on_pd: Iterable[Patient]) -> Iterator[Due]:
    """The latest training of each patient, while nobody has said whether it sufficed."""
    standing = {"patient__in": [patient.pk for patient in on_pd], "withdrawn_at": None}
    rows = Training.objects.filter(**standing).select_related("patient__clinic")
    latest = {row.patient_id: row for row in rows.order_by("completed_on", "pk")}
    seen = TechniqueObservation.objects.filter(**standing).order_by("observed_on", "pk")
    observed = {row.patient_id: row for row in seen}
    for training in latest.values():
        if training.competent == "" and training.completed_on > day - timedelta(days=WATCH_DAYS):
            yield from _line(training, observed.get(training.patient_id))


def _line(training: Training, observation: TechniqueObservation | None) -> Iterator[Due]:
    due_on = training.completed_on + timedelta(days=SIGN_OFF_DAYS)
    of = f"training of {short(training.completed_on)}"
    began_on = training.started_on or training.completed_on
    if observation is None or observation.observed_on < began_on:
        yield Due(
            training, "Technique not observed for the sign-off", of, due_on,
            "Observe an exchange", ("add", "technique_observations", training.patient),
        )  # fmt: skip
    elif is_ready(observation):
        said = f"{of}; no critical error on {short(observation.observed_on)}"
        yield Due(
            training, "Technique sign-off", said, due_on, "Sign the training off",
            ("amend", "trainings", training),
        )  # fmt: skip
    elif not critical_slips(observation):  # with a slip it is a retraining that is due
        yield Due(
            training, "Technique sign-off: critical items not judged", of, due_on,
            "Judge the rest", ("amend", "technique_observations", observation),
        )  # fmt: skip
