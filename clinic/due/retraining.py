"""Retraining after an event: due, never "unsafe"; any training after the event settles it.

Events: standards 8.1 (JSDT 2019 Table 9, ISPD list from memory): peritonitis or catheter infection,
long hospital stay, PD interrupted; contamination and a failed observation: common practice, no
source. No agreed standard says when: the days are the clinic's own due schedule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q

from clinic.clinic_text import Wording
from clinic.due.line import WATCH_DAYS, Due, short
from clinic.models import (
    Admission,
    CatheterInfection,
    Clinic,
    Contamination,
    Patient,
    PdPause,
    Peritonitis,
    TechniqueObservation,
    Training,
)
from clinic.technique import critical_slips

# Where no last dose is entered yet; common practice, no source.
THERAPY_DAYS = 21
EVENTS_NAMED = 3


@dataclass(frozen=True)
class Trigger:
    """What happened, and from which day on the clinic's days are counted."""

    patient_id: int
    happened_on: date
    ready_on: date
    said: str


@dataclass(frozen=True)
class Asked:
    """Of which patients, since when, by which schedule."""

    clinic: Clinic
    patients: tuple[int, ...]
    since: date
    wording: Wording

    def of_patient(self) -> Q:
        return Q(patient__in=self.patients, withdrawn_at=None)

    def day_of(self, moment: object) -> date:
        return moment.astimezone(self.clinic.zone).date()


def lines(clinic: Clinic, day: date, on_pd: Iterable[Patient], wording: Wording) -> Iterator[Due]:
    """One line a patient, of all events that no training has followed."""
    by_id = {patient.pk: patient for patient in on_pd}
    asked = Asked(clinic, tuple(by_id), day - timedelta(days=WATCH_DAYS), wording)
    trained = _last_trained(asked)
    open_: dict[int, list[Trigger]] = {}
    for source in _SOURCES:
        for trigger in source(asked):
            last = trained.get(trigger.patient_id)
            # A training on the day of the event was caused by it (design 2).
            if trigger.happened_on >= asked.since and (last is None or last < trigger.happened_on):
                open_.setdefault(trigger.patient_id, []).append(trigger)
    yield from (_line(by_id[pk], triggers, wording) for pk, triggers in open_.items())


def _line(patient: Patient, triggers: list[Trigger], wording: Wording) -> Due:
    triggers.sort(key=lambda trigger: trigger.ready_on)
    said = [trigger.said for trigger in triggers[:EVENTS_NAMED]]
    more = len(triggers) - len(said)
    return Due(
        patient, "Retraining due", "; ".join([*said, *([f"{more} more"] if more else [])]),
        triggers[0].ready_on + timedelta(days=wording.retraining_days), "Enter the training",
        ("add", Training.subject.name, patient), f"{wording.retraining_days} days",
    )  # fmt: skip


def _last_trained(asked: Asked) -> dict[int, date]:
    rows = Training.objects.filter(asked.of_patient()).order_by("completed_on")
    return dict(rows.values_list("patient_id", "completed_on"))


def _peritonitis(asked: Asked) -> Iterator[Trigger]:
    for row in Peritonitis.objects.filter(asked.of_patient()).exclude(closed_as="ruled_out"):
        moment = row.presented_at
        onset_on = row.onset_on or (asked.day_of(moment) if moment else None)
        if onset_on is not None:
            ready_on = row.therapy_completed_on or onset_on + timedelta(days=THERAPY_DAYS)
            yield Trigger(row.patient_id, onset_on, ready_on, f"peritonitis of {short(onset_on)}")


def _catheter_infections(asked: Asked) -> Iterator[Trigger]:
    for row in CatheterInfection.objects.filter(asked.of_patient(), onset_on__gte=asked.since):
        ready_on = row.therapy_completed_on or row.onset_on + timedelta(days=THERAPY_DAYS)
        said = f"{row.site.replace('_', '-').replace('both', 'catheter')} infection"
        said = f"{said} of {short(row.onset_on)}"
        yield Trigger(row.patient_id, row.onset_on, ready_on, said)


def _long_stays(asked: Asked) -> Iterator[Trigger]:
    for row in Admission.objects.filter(asked.of_patient(), discharged_on__gte=asked.since):
        days = (row.discharged_on - row.admitted_on).days
        if days >= asked.wording.long_stay_days:
            said = f"{days} days in hospital to {short(row.discharged_on)}"
            yield Trigger(row.patient_id, row.discharged_on, row.discharged_on, said)


def _interruptions(asked: Asked) -> Iterator[Trigger]:
    for row in PdPause.objects.filter(asked.of_patient(), last_day_on__gte=asked.since):
        said = f"PD paused to {short(row.last_day_on)}"
        yield Trigger(row.patient_id, row.last_day_on, row.last_day_on, said)


def _contaminations(asked: Asked) -> Iterator[Trigger]:
    for row in Contamination.objects.filter(asked.of_patient()):
        on = asked.day_of(row.happened_at)
        yield Trigger(row.patient_id, on, on, f"{row.kind} contamination of {short(on)}")


def _failed_observations(asked: Asked) -> Iterator[Trigger]:
    """The latest observation decides: a later exchange without critical error takes it back."""
    rows = TechniqueObservation.objects.filter(asked.of_patient()).order_by("observed_on", "pk")
    for row in {row.patient_id: row for row in rows}.values():
        if critical_slips(row):
            said = f"critical error observed on {short(row.observed_on)}"
            yield Trigger(row.patient_id, row.observed_on, row.observed_on, said)


_SOURCES: tuple[Callable[[Asked], Iterator[Trigger]], ...] = (
    _peritonitis, _catheter_infections, _long_stays, _interruptions, _contaminations,
    _failed_observations,
)  # fmt: skip
