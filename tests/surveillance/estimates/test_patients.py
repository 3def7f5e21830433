"""Counts and days of each patient, clinic by clinic."""

from surveillance.estimates.patients import clinic_bounds, of_patients, years_of_clinic
from surveillance.measures.compute import facts_of
from surveillance.rules import RULE_SETS
from tests.surveillance.records import (
    AS_OF,
    cells_met,
    known_organisms,
    make_record,
    peritonitis,
    spell,
)

RECORD = make_record(
    ("A", "B", "C"),
    patients=[
        {"patient": "P1", "clinic": 0},
        {"patient": "P1", "clinic": 2},
        {"patient": "P2", "clinic": 2},
    ],
    pd_spells=[
        spell("2025-01-01"),
        spell("2024-01-01", "2024-12-31", patient=1),
        spell("2025-12-31", patient=2),
    ],
    peritonitis=[peritonitis("E1", "2024-03-01", patient=1)],
    effluent_samples=[cells_met(0, "2024-03-01")],
)
FACTS = facts_of(RECORD, known_organisms(), RULE_SETS["rule_2022"], AS_OF, None)


def names(clinic: int) -> list[str]:
    return [FACTS.when.periods[place].text for place in years_of_clinic(FACTS, clinic).period]


def test_a_clinic_has_the_years_of_its_own_range():
    assert names(0) == ["2025", "2025-Q4/4q"]
    assert names(1) == []
    assert names(2)[:3] == ["2024", "2025", "2024-Q4/4q"]


def test_patients_of_a_clinic_lie_together():
    assert clinic_bounds(FACTS).tolist() == [0, 1, 1, 3]


def test_counts_and_days_are_of_one_clinics_patients():
    first, third = of_patients(FACTS)
    assert first.days.tolist() == [[365, 365]]
    assert third.days[:, :2].tolist() == [[366, 0], [0, 1]]
    assert third.events[:, :2].tolist() == [[1, 0], [0, 0]]
