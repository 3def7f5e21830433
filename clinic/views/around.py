"""What stands around a row on every page: whose it is, and which page shows it."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from clinic.catalogue import organism_names
from clinic.clock import today
from clinic.lineage import clinic_of, patient_of
from clinic.models import CatheterInfection, Clinic, Peritonitis, RecordRow
from clinic.reading import day_text


def home_of(row: RecordRow) -> str:
    """The address of the page that shows the row: an episode's, else its patient's."""
    clinic = clinic_of(row)
    episode = _episode_of(row)
    if episode is not None:
        return reverse("episode", args=[clinic.uid, episode.uid])
    patient = patient_of(row)
    if patient is not None:
        return reverse("patient", args=[clinic.uid, patient.uid])
    return reverse("patients", args=[clinic.uid])


def _episode_of(row: RecordRow | None) -> RecordRow | None:
    while row is not None and not isinstance(row, Clinic):
        if isinstance(row, Peritonitis | CatheterInfection) and row.withdrawn_at is None:
            return row
        row = row.parent
    return None


def around(row: RecordRow) -> dict[str, Any]:
    """Head cells and names for a page about this row."""
    clinic, patient, episode = clinic_of(row), patient_of(row), _episode_of(row)
    cells = [("Patient", patient.number)] if patient else []
    if episode is not None:
        cells.append(("Episode", str(episode)))
    cells += [("Clinic", clinic.name), ("Day", day_text(today(clinic)))]
    return {
        "clinic": clinic,
        "patient": patient,
        "episode": episode,
        "home": home_of(row),
        "organism_names": organism_names(),
        "head_cells": cells,
        "page_name": "Episode" if episode is not None else "Patients",
        "title_detail": patient.number if patient else clinic.name,
    }
