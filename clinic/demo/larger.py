"""A larger demonstration: beside the six told clinics, steady ones by the same generator."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count, cycle
from pathlib import Path

from clinic.demo.accounts import DEMO
from clinic.demo.known import known_by
from clinic.demo.loading import store_rows
from clinic.demo.network import rows_of
from clinic.demo.parameters import ClinicNumbers, Parameters, Trainer
from clinic.models import Clinic

CLINICS_AT_ONCE = 10  # so that memory stays flat
FIRST_STREAM = 1_000  # of chance: apart from those that the told clinics were given


class TooSmall(Exception):
    """The told clinics alone are larger."""


def more_clinics(numbers: Parameters, patients: int) -> tuple[ClinicNumbers, ...]:
    """Steady clinics until the network has so many patients when it is full."""
    left = patients - sum(clinic.patients_when_full for clinic in numbers.clinics)
    if left < 0:
        raise TooSmall(f"{patients} patients: the network has {patients - left} at the least")
    made: list[ClinicNumbers] = []
    sizes = cycle([clinic.patients_when_full for clinic in numbers.clinics])
    for number in count(1):
        if left <= 0:
            break
        made.append(_steady(numbers, number, min(next(sizes), left)))
        left -= made[-1].patients_when_full
    return tuple(made)


def _steady(numbers: Parameters, number: int, patients: int) -> ClinicNumbers:
    code = f"D{number:03d}"
    shares = [clinic.apd_share for clinic in numbers.clinics]
    return ClinicNumbers(
        code=code,
        name=_name(numbers, number - 1),
        stream=FIRST_STREAM + number,
        patients_when_full=patients,
        apd_share=shares[number % len(shares)],
        trainers=(Trainer(f"{code}-T1"), Trainer(f"{code}-T2")),
    )


def _name(numbers: Parameters, place: int) -> str:
    """Made of two parts, in turn; a number where all pairs are used up."""
    first, last = numbers.names["first"], numbers.names["last"]
    again, pair = divmod(place, len(first) * len(last))
    row, column = divmod(pair, len(first))
    name = f"{first[column]} {last[(row + column) % len(last)]}"
    return f"{name} {again + 1}" if again else name


def load_more(
    numbers: Parameters, clinics: tuple[ClinicNumbers, ...], folder: Path
) -> Iterator[int]:
    """Loads the clinics that are not there yet, some at a time; yields how many are done."""
    there = set(Clinic.objects.values_list("code", flat=True))
    for first in range(0, len(clinics), CLINICS_AT_ONCE):
        batch = clinics[first : first + CLINICS_AT_ONCE]
        missing = tuple(clinic for clinic in batch if clinic.code not in there)
        if missing:
            rows = known_by(rows_of(numbers, missing), numbers.today)
            store_rows(numbers, rows, folder / missing[0].code, by=DEMO)
        yield first + len(batch)
