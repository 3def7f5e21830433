"""The seed is accepted: the two true stories are found, and no decoy is called (workflows.md 5)."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from clinic.demo.parameters import Parameters, read_parameters
from tests.clinic.demo.acceptance import (
    CONDITIONS,
    NETWORK_RATES,
    Condition,
    network_rate,
    water_cluster,
)
from tests.clinic.demo.watched import Watched, watched

PARAMETERS = Path(__file__).parents[3] / "fixtures" / "demo" / "parameters.toml"
EACH = [(code, condition) for code, held in CONDITIONS.items() for condition in held]


@pytest.fixture(scope="module")
def numbers() -> Parameters:
    return read_parameters(PARAMETERS)


@pytest.fixture(scope="module")
def clinics(numbers: Parameters) -> dict[str, Watched]:
    return {clinic.code: watched(numbers, clinic) for clinic in numbers.clinics}


@pytest.mark.parametrize(
    ("code", "condition"), EACH, ids=[f"{code}-{one.__name__}" for code, one in EACH]
)
def test_the_seed_holds(clinics: dict[str, Watched], code: str, condition: Condition) -> None:
    assert condition(clinics[code]) is None


def test_the_whole_network_is_unremarkable(clinics: dict[str, Watched]) -> None:
    low, high = NETWORK_RATES
    assert low <= network_rate(list(clinics.values())) <= high


def test_without_the_water_bath_there_is_no_cluster(numbers: Parameters) -> None:
    """The same chance without the story: it is the story that is found."""
    saltmere = next(clinic for clinic in numbers.clinics if clinic.code == "SM")
    assert water_cluster(watched(numbers, replace(saltmere, water_bath=None))) is not None


def test_the_late_entries_of_copper_mill_change_its_signed_quarter(
    numbers: Parameters, clinics: dict[str, Watched]
) -> None:
    mill = next(clinic for clinic in numbers.clinics if clinic.code == "CM")
    then = watched(numbers, mill, date(2025, 7, 18)).rate_cells(("2025-Q2",)).iloc[0]
    now = clinics["CM"].rate_cells(("2025-Q2",)).iloc[0]
    assert now["numerator"] - then["numerator"] >= 4
