"""The relapse that a named person holds to be a new episode: said beside it, changes no figure."""

from __future__ import annotations

from datetime import date, timedelta

from clinic.actions.judgements import record_dissent
from clinic.demo.parameters import ClinicNumbers, Parameters
from clinic.demo.story_parameters import Scripted
from clinic.models import Dissent, Peritonitis, Person


def record_dissents(numbers: Parameters) -> None:
    """Once: those already said are left alone."""
    for clinic in numbers.clinics:
        for told in clinic.scripted:
            if told.called_new_by:
                _record(clinic, told, numbers.today)


def _record(clinic: ClinicNumbers, told: Scripted, today: date) -> None:
    assert told.last_dose_days is not None and told.relapses_after_days is not None
    days = told.last_dose_days + told.relapses_after_days
    episode = Peritonitis.objects.get(
        patient__clinic__code=clinic.code,
        onset_on=told.onset(today) + timedelta(days=days),
        samples__isolates__organism=told.organism,
    )
    if not Dissent.objects.filter(episode=episode).exists():
        record_dissent(
            episode=episode, by=Person.objects.get(username=told.called_new_by),
            category="new", reason=told.called_new_because,
        )  # fmt: skip
