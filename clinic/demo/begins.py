"""The day that each invented row is about: nobody can enter it before, nobody knows it earlier."""

from __future__ import annotations

from datetime import date, datetime

# The cell that says when a row came to be.
BEGINS = {
    "pd_spells": "started_on",
    "pd_pauses": "started_on",
    "catheters": "inserted_on",
    "trainings": "completed_on",
    "peritonitis": "presented_at",
    "effluent_samples": "collected_at",
    "isolates": "reported_on",
    "susceptibilities": "reported_on",
    "catheter_infections": "onset_on",
    "admissions": "admitted_on",
    "contaminations": "happened_at",
    "calls": "called_at",
    "therapies": "first_dose_on",
    "root_cause_reviews": "reviewed_on",
    "exit_site_checks": "checked_on",
    "technique_observations": "observed_on",
}


def day_of(cell: object) -> date | None:
    """The day of a day or a moment."""
    if isinstance(cell, datetime):
        return cell.date()
    return cell if isinstance(cell, date) else None
