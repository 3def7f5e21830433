"""Two numbers in one clinic that may be one person: same birth date and sex, spells that overlap.

Nobody is merged: twins and chance exist, and both count until a person decides.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import combinations


@dataclass(frozen=True)
class Likeness:
    """What is compared of one patient; a spell's last day is empty while PD goes on."""

    patient: str
    birth_date: date | None
    sex: str
    spells: tuple[tuple[date, date | None], ...]


def same_person_pairs(patients: Iterable[Likeness]) -> Iterator[tuple[Likeness, Likeness]]:
    """Pairs of one clinic that may be the same person."""
    alike: dict[tuple[date, str], list[Likeness]] = {}
    for patient in patients:
        if patient.birth_date and patient.sex:
            alike.setdefault((patient.birth_date, patient.sex), []).append(patient)
    for several in alike.values():
        for first, second in combinations(several, 2):
            if any(_overlap(a, b) for a in first.spells for b in second.spells):
                yield first, second


def _overlap(a: tuple[date, date | None], b: tuple[date, date | None]) -> bool:
    return a[0] <= (b[1] or date.max) and b[0] <= (a[1] or date.max)
