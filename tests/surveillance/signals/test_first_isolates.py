"""Which isolates are a patient's first of a group."""

from surveillance.cases.cases import cases
from surveillance.rules import RULE_SETS
from surveillance.signals.first_isolates import BANDS, first_isolates
from tests.surveillance.records import day, known_organisms, timeline_of
from tests.surveillance.signals.watched import clinic

PSEUDOMONAS, COLI = "Pseudomonas aeruginosa", "Escherichia coli"


def found(made_up: list, stop: str = "2026-01-01") -> list[tuple[str, int]]:
    """(band, onset) of each first isolate; days counted from 2022-01-01."""
    at = timeline_of(clinic(5, made_up))
    made = cases(at, known_organisms(), RULE_SETS["rule_2022"])
    isolates = first_isolates(made, day(stop))
    began = day("2022-01-01")
    pairs = zip(isolates.band.tolist(), isolates.onset.tolist(), strict=True)
    return [(BANDS[band], onset - began) for band, onset in pairs]


def test_a_water_organism_is_in_its_own_group_and_in_water() -> None:
    assert found([("2022-01-11", 0, PSEUDOMONAS)]) == [("pseudomonas", 10), ("water", 10)]


def test_another_of_the_same_patient_within_104_weeks_is_none() -> None:
    again = [("2022-01-11", 0, COLI), ("2024-01-08", 0, COLI)]  # 727 days
    assert found(again) == [("escherichia_coli", 10)]
    later = [("2022-01-11", 0, COLI), ("2024-01-09", 0, COLI)]  # 728 days
    assert found(later) == [("escherichia_coli", 10), ("escherichia_coli", 738)]


def test_another_group_and_another_patient_are_firsts_of_their_own() -> None:
    both = [("2022-01-11", 0, COLI), ("2022-03-11", 0, "Staphylococcus aureus"),
            ("2022-03-11", 1, COLI)]  # fmt: skip
    assert sorted(found(both)) == [
        ("escherichia_coli", 10), ("escherichia_coli", 69), ("staphylococcus_aureus", 69),
    ]  # fmt: skip


def test_a_relapse_and_a_sterile_culture_are_none() -> None:
    assert found([("2022-01-11", 0, COLI), ("2022-02-08", 0, COLI)]) == [("escherichia_coli", 10)]
    assert found([("2022-01-11", 0, "")]) == []


def test_what_begins_after_the_watch_is_left_out() -> None:
    assert found([("2022-01-11", 0, COLI)], stop="2022-01-11") == []
