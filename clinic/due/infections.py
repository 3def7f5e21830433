"""Exit-site and tunnel infections: the last dose, then the outcome."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from clinic.due.line import WATCH_DAYS, Due, short
from clinic.models import CatheterInfection, Clinic

# Common practice, no source; each a setting of ours in this one place.
LAST_DOSE_DAYS = 21  # after the onset
OUTCOME_DAYS = 30  # after the last dose


def lines(clinic: Clinic, day: date) -> Iterator[Due]:
    rows = CatheterInfection.objects.filter(
        patient__clinic=clinic, withdrawn_at=None, patient__withdrawn_at=None,
        patient__died_on=None, onset_on__gt=day - timedelta(days=WATCH_DAYS),
    ).select_related("patient__clinic")  # fmt: skip
    for row in rows:
        if row.therapy_completed_on is None:
            yield _last_dose(row)
        elif row.refractory == "":
            yield _outcome(row, row.therapy_completed_on)


def _site(row: CatheterInfection) -> str:
    return {"exit_site": "exit-site", "tunnel": "tunnel"}.get(row.site, "catheter")


def _last_dose(row: CatheterInfection) -> Due:
    return Due(
        row, f"Last dose of the {_site(row)} infection not entered",
        f"onset {short(row.onset_on)}",
        row.onset_on + timedelta(days=LAST_DOSE_DAYS), "Enter the last dose",
        ("amend", "catheter_infections", row),
    )  # fmt: skip


def _outcome(row: CatheterInfection, ended_on: date) -> Due:
    return Due(
        row, f"Outcome of the {_site(row)} infection not judged",
        f"onset {short(row.onset_on)}, last dose {short(ended_on)}",
        ended_on + timedelta(days=OUTCOME_DAYS), "Judge the outcome",
        ("amend", "catheter_infections", row), "day 30 after",
    )  # fmt: skip
