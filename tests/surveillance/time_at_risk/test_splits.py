"""Which band each day at risk falls in, split by split (design 2 and 3.3)."""

import numpy as np
import pandas as pd
import pytest

from surveillance.rules import RULE_SETS
from surveillance.time_at_risk.splits import SPLITS, category_codes, text_rank
from tests.surveillance.records import day, make_record, spell, timeline_of


def band(split, on, **tables):
    at = timeline_of(make_record(**{"pd_spells": [spell("2024-01-01")]} | tables))
    made = SPLITS[split](at, RULE_SETS["rule_2022"])
    place = at.line.at(np.array([0]), np.array([day(on)]))
    return made.labels[made.steps.at(place)[0]]


TRAININGS = [
    {"completed_on": "2024-02-01", "kind": "initial", "trainer": "T2"},
    {"completed_on": "2024-02-01", "kind": "initial", "trainer": "T1"},
    {"completed_on": "2024-06-01", "kind": "scheduled", "trainer": None},
    {"completed_on": "2024-06-01", "kind": "triggered", "trainer": "T3"},
    {"completed_on": "2024-09-01", "kind": "scheduled", "trainer": None},
]


@pytest.mark.parametrize(
    ("split", "on", "expected"),
    [
        ("time_since_training", "2024-01-31", "none_recorded"),
        ("time_since_training", "2024-02-01", "0-90"),
        ("time_since_training", "2024-05-01", "0-90"),
        ("time_since_training", "2024-05-02", "91-181"),
        ("time_since_training", "2024-06-01", "0-90"),
        ("time_since_initial_training", "2024-09-01", "182-364"),
        ("time_since_scheduled_training", "2024-08-31", "91-181"),
        ("time_since_scheduled_training", "2024-09-01", "0-90"),
        ("time_since_triggered_training", "2024-05-31", "none_recorded"),
        ("trainer", "2024-01-31", "none_recorded"),
        ("trainer", "2024-02-01", "T1"),
        ("trainer", "2024-06-01", "T3"),
        ("trainer", "2024-09-01", "unknown"),
        ("first_trainer", "2024-01-31", "none_recorded"),
        ("first_trainer", "2024-09-01", "T1"),
    ],
)
def test_trainings_start_their_clocks(split, on, expected):
    assert band(split, on, trainings=TRAININGS) == expected


@pytest.mark.parametrize(("on", "expected"), [("2024-03-31", "0-90"), ("2024-04-01", "91-181")])
def test_time_on_pd_runs_from_the_first_spell_over_gaps(on, expected):
    spells = [spell("2024-01-01", "2024-01-05"), spell("2024-03-01")]
    assert band("time_on_pd", on, pd_spells=spells) == expected


CATHETERS = [
    {"catheter": "C1", "inserted_on": "2024-01-01", "removed_on": "2024-08-01"},
    {
        "catheter": "C2",
        "inserted_on": "2024-03-01",
        "removed_on": "2024-03-31",
        "insertion_method": "open",
    },
    {
        "catheter": "C0",
        "inserted_on": "2024-03-01",
        "removed_on": "2024-05-01",
        "insertion_method": "other",
    },
]


@pytest.mark.parametrize(
    ("on", "age", "method"),
    [
        ("2024-01-31", "0-30", "unknown"),
        ("2024-02-01", "31-90", "unknown"),
        ("2024-03-01", "0-30", "open"),
        ("2024-03-31", "0-30", "open"),
        ("2024-04-01", "31-90", "other"),
        ("2024-05-02", "91-181", "unknown"),
        ("2024-08-01", "182-364", "unknown"),
        ("2024-08-02", "none_recorded", "none_recorded"),
    ],
)
def test_of_two_catheters_the_later_holds_and_of_one_day_the_last_by_name(on, age, method):
    assert band("catheter_age", on, catheters=CATHETERS) == age
    assert band("insertion_method", on, catheters=CATHETERS) == method


@pytest.mark.parametrize(
    ("on", "modality", "assistance"),
    [
        ("2024-01-31", "capd", "self"),
        ("2024-02-01", "unknown", "nurse"),
        ("2024-03-01", "capd", "self"),
    ],
)
def test_the_spell_started_last_gives_the_way_of_dialysis(on, modality, assistance):
    spells = [
        spell("2024-01-01", modality="capd", assistance="self"),
        spell("2024-02-01", "2024-02-29", assistance="nurse"),
    ]
    assert band("modality", on, pd_spells=spells) == modality
    assert band("assistance", on, pd_spells=spells) == assistance


def test_a_trainer_spelled_like_a_band_joins_it():
    column = pd.Series(pd.Categorical(["unknown", None, "T1"]))
    codes, labels = category_codes(column, "none_recorded")
    assert [labels[code] for code in codes] == ["unknown", "unknown", "T1"]
    assert len(set(labels)) == len(labels)


def test_texts_rank_by_code_point():
    assert text_rank(pd.Series(["b", "B", "é", "b"], dtype=object)).tolist() == [1, 0, 2, 1]
