"""What a signal is worth at each size of clinic, from the kept calibration, for its help page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from surveillance.calibrated import Calibrated, calibrated

RISES = (1.5, 2.0, 3.0)


@dataclass(frozen=True)
class Worth:
    """One size: how often luck raises the signal, and when half of the clinics have seen a rise."""

    patients: int
    luck: str
    months: tuple[str, ...]  # one a rise


def worths(rule: str) -> list[Worth]:
    """Smallest clinic first; none for a signal that was not simulated."""
    return list(_worths(calibrated(rule)))


def _worths(lines: tuple[Calibrated, ...]) -> Iterator[Worth]:
    for patients, own in groupby(lines, key=lambda line: line.patients):
        of_rise = {line.rate_ratio: line for line in own}
        luck = of_rise[RISES[0]].alarms_per_clinic_year
        yield Worth(patients, _once_in(luck), tuple(_months(of_rise[rise]) for rise in RISES))


def _once_in(per_year: float) -> str:
    if not per_year:
        return "not once"
    years = 1 / per_year
    return f"once in {years:.1f} years" if years < 10 else f"once in {years:.0f} years"


def _months(line: Calibrated) -> str:
    if line.median_months is None:
        return "most never in three years"
    return f"{line.median_months:.1f} months"
