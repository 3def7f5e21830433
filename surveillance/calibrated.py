"""The kept figures of `calibrate_signals`, for the pages that say what a signal is worth."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache

from django.conf import settings


@dataclass(frozen=True)
class Calibrated:
    """One signal at one size and rise, as simulated; None: not stated, or most never see it."""

    rule: str
    patients: int
    rate_ratio: float
    clinics: int  # simulated for this line
    alarms_per_clinic_year: float
    stated_per_clinic_year: float | None
    median_months: float | None
    found_within_year_share: float


@cache
def calibrated(rule: str = "default_alarms") -> tuple[Calibrated, ...]:
    """A signal's lines by size and rise; none for a signal that no rise can raise."""
    path = settings.HERE / "fixtures" / "signals" / "calibration.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(_line(row) for row in csv.DictReader(file) if row["rule"] == rule)


def _line(row: dict[str, str]) -> Calibrated:
    return Calibrated(
        rule=row["rule"],
        patients=int(row["patients"]),
        rate_ratio=float(row["rate_ratio"]),
        clinics=int(row["clinics"]),
        alarms_per_clinic_year=float(row["alarms_per_clinic_year"]),
        stated_per_clinic_year=_number(row["stated_per_clinic_year"]),
        median_months=_number(row["median_months"]),
        found_within_year_share=float(row["found_within_year_share"]),
    )


def _number(cell: str) -> float | None:
    return float(cell) if cell else None
