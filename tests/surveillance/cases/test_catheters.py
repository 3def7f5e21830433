"""Insertion-related and catheter-related episodes; windows include both end days."""

import pytest

from surveillance.tables import YES
from tests.surveillance.records import cells_met, make_record, peritonitis, spell
from tests.surveillance.results import cases_of


@pytest.mark.parametrize(
    ("onset", "said"),
    [("2024-12-31", "unknown"), ("2025-01-01", "yes"), ("2025-01-31", "yes"), ("2025-02-01", "no")],
)
def test_day_0_to_30_is_insertion_related(onset, said):
    record = make_record(
        pd_spells=[spell("2024-01-01")],
        catheters=[{"catheter": "C1", "inserted_on": "2025-01-01", "removed_on": "2025-01-02"}],
        peritonitis=[peritonitis("E", onset)],
    )
    assert cases_of(record)["E"]["insertion_related"] == said


def related(onset, organism, episode_organism, **infection):
    row = {"infection": "X", "site": "exit_site", "onset_on": onset, "organism": organism}
    culture = "grown" if episode_organism else "no_growth"
    record = make_record(
        pd_spells=[spell("2024-01-01")],
        peritonitis=[peritonitis("E", "2025-06-01")],
        effluent_samples=[cells_met(0, "2025-06-01", culture=culture)],
        isolates=[{"organism": episode_organism}] if episode_organism else [],
        catheter_infections=[row | {"purulent_discharge": YES} | infection],
    )
    return cases_of(record)["E"]["catheter_related"]


@pytest.mark.parametrize(
    ("onset", "said"),
    [("2025-03-03", "yes"), ("2025-03-02", "no"), ("2025-08-30", "yes"), ("2025-08-31", "no")],
)
def test_at_most_90_days_before_or_after(onset, said):
    assert related(onset, "S. aureus", "S. aureus") == said


@pytest.mark.parametrize(
    ("infection", "episode", "said"),
    [
        ("CoNS", "S. epidermidis", "yes"),
        ("E. coli", "S. aureus", "no"),
        ("no_growth", "S. aureus", "yes"),
        ("E. coli", None, "yes"),
        (None, "S. aureus", "no"),
    ],
)
def test_the_same_organism_or_one_sterile(infection, episode, said):
    assert related("2025-05-20", infection, episode) == said


def test_an_infection_without_pus_is_none():
    assert related("2025-05-20", "S. aureus", "S. aureus", purulent_discharge=0) == "no"
