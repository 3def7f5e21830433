"""Exit-site checks and technique observations of a patient, each with what follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from clinic import exit_site, technique
from clinic.lineage import clinic_of
from clinic.patient_file import standing
from surveillance.extract import Patient
from surveillance.words import day_text


@dataclass(frozen=True)
class Checked:
    """One line: its day, what was found, the note, and the step that follows."""

    row: Any
    day: str
    says: str
    note: str
    act: str = ""
    address: str = ""


def exit_site_checks(patient: Patient) -> list[Checked]:
    """The latest first; one that shows an infection leads to its form until it is recorded."""
    recorded = {row.onset_on for row in standing("catheter_infections", patient)}
    return [_exit_site(row, recorded) for row in reversed(standing("exit_site_checks", patient))]


def _exit_site(row: Any, recorded: set[Any]) -> Checked:
    note = f"Score {exit_site.score_text(row)}; shown, never counted."
    if row.appearance:
        note += f" Appearance: {row.appearance.replace('_', ' ')}."
    says = exit_site.finding(row)
    if not exit_site.calls_for_infection(row) or row.checked_on in recorded:
        return Checked(row, day_text(row.checked_on), says, note)
    form = reverse("add", args=[clinic_of(row).uid, "catheter_infections", row.patient.uid])
    address = f"{form}?check={row.uid}"
    return Checked(row, day_text(row.checked_on), says, note, "Record the infection", address)


def observations(patient: Patient) -> list[Checked]:
    """The latest first; an exchange without critical error leads to the sign-off."""
    trainings = list(standing("trainings", patient).order_by("completed_on"))
    rows = list(reversed(standing("technique_observations", patient)))
    return [_observation(row, trainings[-1:] if row is rows[0] else []) for row in rows]


def _observation(row: Any, latest: list[Any]) -> Checked:
    by = f" Observed by {row.observer}." if row.observer else ""
    note = f"{technique.done_text(row)}.{by}"
    says, day = technique.finding(row), day_text(row.observed_on)
    if not technique.is_ready(row) or not latest or latest[0].competent == "yes":
        return Checked(row, day, says, note)
    address = reverse("amend", args=[clinic_of(row).uid, "trainings", latest[0].uid])
    return Checked(row, day, says, note, "Sign the training off", address)
