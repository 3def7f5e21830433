"""A larger demonstration: as many patients as asked for, in steady clinics of their own names."""

from dataclasses import replace
from pathlib import Path

import pytest

from clinic.demo.larger import TooSmall, load_more, more_clinics
from clinic.demo.parameters import Parameters, read_parameters
from clinic.models import Clinic, Patient

PARAMETERS = Path(__file__).parents[3] / "fixtures" / "demo" / "parameters.toml"
TOLD = 270  # 45 + 31 + 68 + 90 + 22 + 14, workflows.md 5


@pytest.fixture(scope="module")
def numbers() -> Parameters:
    return read_parameters(PARAMETERS)


@pytest.mark.parametrize("patients", [TOLD, TOLD + 1, 1_000, 100_000])
def test_the_network_has_as_many_patients_as_asked_for(numbers: Parameters, patients: int) -> None:
    made = more_clinics(numbers, patients)
    assert TOLD + sum(clinic.patients_when_full for clinic in made) == patients
    names = {clinic.name for clinic in (*numbers.clinics, *made)}
    codes = {clinic.code for clinic in (*numbers.clinics, *made)}
    assert len(names) == len(codes) == len(numbers.clinics) + len(made)


def test_it_is_never_smaller_than_the_told_clinics(numbers: Parameters) -> None:
    with pytest.raises(TooSmall, match="270 at the least"):
        more_clinics(numbers, TOLD - 1)


@pytest.mark.django_db
def test_more_clinics_are_loaded_once(numbers: Parameters, tmp_path: Path) -> None:
    small = tuple(replace(one, patients_when_full=3) for one in more_clinics(numbers, 600)[:2])
    assert list(load_more(numbers, small, tmp_path)) == [2]
    patients = Patient.objects.count()
    assert Clinic.objects.count() == 2
    assert patients >= 6
    assert list(load_more(numbers, small, tmp_path)) == [2]
    assert Patient.objects.count() == patients
