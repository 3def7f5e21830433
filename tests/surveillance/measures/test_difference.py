"""Two rule sets on the same record: the rows that differ, and the rules with their sources."""

import math

import pandas as pd

from surveillance.measures.compute import compute
from surveillance.measures.difference import difference, rules_that_differ, targets_that_differ
from surveillance.rules import RULE_SETS
from surveillance.table_text import table_text
from surveillance.tables import DIFFERENCE
from tests.surveillance.records import AS_OF, catalogue, cells_met, make_record, peritonitis, spell

NEW, OLD = RULE_SETS["rule_2022"], RULE_SETS["rule_2016"]
# PD began ten days before the first training: only one rule set counts these days.
RECORD = make_record(
    pd_spells=[spell("2025-01-01")],
    trainings=[{"started_on": "2025-01-11", "completed_on": "2025-01-11", "kind": "initial"}],
    peritonitis=[peritonitis("E1", "2025-01-05", "2025-01-19")],
    effluent_samples=[cells_met(0, "2025-01-05")],
)


def measures(rules) -> pd.DataFrame:
    return compute(RECORD, catalogue(), rules, AS_OF).measures


def rows_between(one, other) -> list[dict]:
    found = difference(measures(one), measures(other), one, other)
    assert list(found.columns) == [column.name for column in DIFFERENCE]
    return found.to_dict("records")


def test_a_rate_whose_days_and_episodes_differ_shows_both():
    row = next(
        row
        for row in rows_between(NEW, OLD)
        if (row["measure"], row["period"], row["split"]) == ("peritonitis_rate", "2025", "")
    )
    assert (row["numerator"], row["numerator_against"]) == (1, 0)
    assert (row["denominator"], row["denominator_against"]) == (365, 355)
    assert (row["target"], row["target_against"]) == (0.4, 0.5)
    assert (row["verdict"], row["verdict_against"]) == ("misses_uncertain", "meets_uncertain")
    assert "start_of_risk: pd_commencement (ISPD peritonitis guideline 2022" in row["rules"]
    assert "against first_training (Balzer 2019, PDI 39:220-228, p. 221, seen)" in row["rules"]
    assert row["rules"].endswith("p. 221, seen)")
    assert "target: ≤ 0.4 (" in row["rules"]


def test_a_target_that_only_one_has_is_a_difference_of_its_measure_alone():
    rows = rows_between(NEW, OLD)
    rules = {row["measure"]: row["rules"] for row in rows if row["period"] == "2025"}
    assert "target: ≤ 0.4 (" in rules["exit_site_infection_rate"]
    assert rules["exit_site_infection_rate"].endswith("against none")
    assert "target" not in rules["median_patient_rate"]


def test_a_row_that_only_one_has_stands_with_the_other_side_empty():
    row = next(
        row
        for row in rows_between(NEW, OLD)
        if (row["split"], row["band"], row["period"])
        == ("time_since_training", "none_recorded", "2025")
        and row["measure"] == "peritonitis_rate"
    )
    assert row["denominator"] == 10
    assert math.isnan(row["denominator_against"]) and math.isnan(row["value_against"])


def test_a_rule_set_against_itself_has_no_row():
    assert rows_between(NEW, NEW) == []
    assert rules_that_differ(NEW, NEW) == targets_that_differ(OLD, OLD) == {}


def test_the_rules_that_differ_are_the_windows_of_death_and_the_start_of_risk():
    assert sorted(rules_that_differ(NEW, OLD)) == [
        "death_under_treatment",
        "death_window_days",
        "start_of_risk",
    ]


def test_rows_are_written_in_the_order_of_the_measures():
    found = difference(measures(NEW), measures(OLD), NEW, OLD)
    lines = table_text("difference", found).splitlines()
    assert lines[0].startswith("clinic,period,period_start,period_end,measure,split,band,numerator")
    keys = list(
        found[["clinic", "period_start", "period_end", "measure", "split", "band", "period"]]
        .astype(object)
        .itertuples(index=False, name=None)
    )
    assert keys == sorted(keys)
