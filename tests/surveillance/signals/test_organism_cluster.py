"""Clusters of one group of organisms: found on the day, relapses and repeats left out."""

import pytest

from surveillance.signals.alarm import is_alarm
from tests.surveillance.records import make_record
from tests.surveillance.signals.watched import clinic, signals

RULE, PAIR = "organism_cluster", "organism_pair"
PSEUDOMONAS, ACINETOBACTER = "Pseudomonas aeruginosa", "Acinetobacter baumannii"


def days_of_alarms(cases: list, band: str, patients: int = 30) -> list[str]:
    rows = signals(clinic(patients, cases), RULE, band)
    return [row["window_end"] for row in rows if is_alarm(row)]


def test_three_patients_with_no_other_in_two_years_are_found_on_the_last_one_s_day() -> None:
    cases = [("2025-05-01", 1, PSEUDOMONAS), ("2025-05-20", 2, PSEUDOMONAS),
             ("2025-06-25", 3, PSEUDOMONAS)]  # fmt: skip
    assert days_of_alarms(cases, "pseudomonas") == ["2025-06-25"]  # the 56th day
    later = [*cases[:2], ("2025-06-26", 3, PSEUDOMONAS)]
    assert days_of_alarms(later, "pseudomonas") == []


@pytest.mark.parametrize(("before", "found"), [(3, True), (4, False)])
def test_four_of_at_most_seven_are_found(before: int, found: bool) -> None:
    earlier = [(f"2024-0{2 * number + 1}-10", 10 + number, PSEUDOMONAS) for number in range(before)]
    cluster = [(f"2025-05-{10 + number}", number, PSEUDOMONAS) for number in range(4)]
    assert (days_of_alarms(earlier + cluster, "pseudomonas") == ["2025-05-13"]) is found


def test_three_water_organisms_are_one_group_together() -> None:
    cases = [("2025-05-01", 1, PSEUDOMONAS), ("2025-05-20", 2, ACINETOBACTER),
             ("2025-06-01", 3, "Stenotrophomonas maltophilia")]  # fmt: skip
    assert days_of_alarms(cases, "water") == ["2025-06-01"]
    assert days_of_alarms(cases, "pseudomonas") == []


def test_a_patient_counts_once_and_a_relapse_not_at_all() -> None:
    cases = [("2025-05-01", 1, PSEUDOMONAS), ("2025-05-25", 1, PSEUDOMONAS),
             ("2025-06-01", 2, PSEUDOMONAS)]  # fmt: skip
    rows = signals(clinic(30, cases), RULE, "pseudomonas")
    assert [row["observed"] for row in rows] == [1, 2, 0]  # both patients, and the last day


def test_the_same_day_is_looked_at_once() -> None:
    cases = [("2025-05-01", patient, PSEUDOMONAS) for patient in (1, 2, 3)]
    assert days_of_alarms(cases, "pseudomonas") == ["2025-05-01"]


def test_an_alarm_says_its_chance_its_luck_and_the_looks() -> None:
    cases = [("2025-05-01", patient, PSEUDOMONAS) for patient in (1, 2, 3)]
    alarm = next(row for row in signals(clinic(30, cases), RULE, "pseudomonas") if is_alarm(row))
    assert alarm["p"] == pytest.approx(0.0168, abs=1e-4)
    assert (alarm["observed"], alarm["limit"], alarm["split"]) == (3, 2, "organism_group")
    assert "1.7 %" in alarm["sentence"]
    assert "about once in" in alarm["sentence"]
    assert "one of 18 lines" in alarm["sentence"]


def test_every_group_has_a_line_on_the_last_day_even_without_a_case() -> None:
    record = clinic(3, [])
    for band in ("fungal", "water", "staphylococcus_aureus"):
        (row,) = signals(record, RULE, band)
        assert (row["observed"], row["window_end"]) == (0, "2025-12-31")
        assert row["sentence"].startswith("Quiet: no patient with")


def test_a_young_record_cannot_tell() -> None:
    cases = [("2025-12-01", patient, PSEUDOMONAS) for patient in (1, 2, 3)]
    rows = signals(clinic(30, cases, began="2025-11-01"), RULE, "pseudomonas")
    assert [row["limit"] for row in rows] == [None, None]
    assert rows[0]["sentence"].endswith("the record is too young to tell.")


def test_two_of_an_unusual_group_are_for_information_only() -> None:
    cases = [("2025-05-01", 1, "Candida albicans"), ("2025-05-20", 2, "Candida parapsilosis")]
    (row,) = signals(clinic(30, cases), PAIR, "fungal")
    assert not is_alarm(row)
    assert row["sentence"].startswith("For information: 2 patients with fungi")


def test_two_of_a_usual_group_are_nothing() -> None:
    usual = [(f"2024-{month:02}-15", month, PSEUDOMONAS) for month in (2, 5, 8, 11)]
    cases = [*usual, ("2025-05-01", 1, PSEUDOMONAS), ("2025-05-20", 20, PSEUDOMONAS)]
    assert signals(clinic(30, cases), PAIR, "pseudomonas") == []


def test_nothing_dated_has_no_line() -> None:
    assert signals(make_record(), RULE, "water") == []
