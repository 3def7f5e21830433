"""Which days are at risk, and why another day is not (design 2)."""

from datetime import date

import numpy as np
import pytest

from surveillance.time_at_risk.timeline import STATES
from tests.surveillance.records import day, make_record, spell, timeline_of


def days_at_risk(record, rule_set="rule_2022", as_of=date(2025, 12, 31)):
    at = timeline_of(record, rule_set, as_of)
    return int((at.at_risk.stop - at.at_risk.start).sum())


def state(record, on, rule_set="rule_2022"):
    at = timeline_of(record, rule_set)
    return STATES[at.state(at.line.at(np.array([0]), np.array([day(on)])))[0]]


def test_first_and_last_day_both_count():
    assert days_at_risk(make_record(pd_spells=[spell("2025-01-01", "2025-03-31")])) == 90


def test_an_open_spell_runs_to_as_of_and_a_later_one_does_not_close_it():
    spells = [spell("2025-01-01"), spell("2025-02-01", "2025-02-10")]
    assert days_at_risk(make_record(pd_spells=spells), as_of=date(2025, 3, 31)) == 90


def test_overlapping_spells_count_a_day_once():
    spells = [spell("2025-01-01", "2025-01-20"), spell("2025-01-11", "2025-01-31")]
    assert days_at_risk(make_record(pd_spells=spells)) == 31


@pytest.mark.parametrize(
    ("reason", "days"),
    [
        ("temporary_haemodialysis", 26),
        ("catheter_rest", 26),
        ("travel", 31),
        ("other", 31),
        (None, 31),
    ],
)
def test_only_two_reasons_stop_the_clock(reason, days):
    pauses = [spell("2025-01-11", "2025-01-15", reason=reason)]
    record = make_record(pd_spells=[spell("2025-01-01", "2025-01-31")], pd_pauses=pauses)
    assert days_at_risk(record) == days


def test_the_day_of_death_counts_and_no_later_one():
    people = [{"patient": "P", "died_on": "2025-01-10"}]
    assert days_at_risk(make_record(patients=people, pd_spells=[spell("2025-01-01")])) == 10


@pytest.mark.parametrize(
    ("training", "days"),
    [
        ({"started_on": "2025-01-05", "completed_on": "2025-01-09"}, 27),
        ({"completed_on": "2025-01-09"}, 23),
    ],
)
def test_rule_2016_begins_with_the_first_training(training, days):
    record = make_record(pd_spells=[spell("2025-01-01", "2025-01-31")], trainings=[training])
    assert days_at_risk(record, "rule_2016") == days
    assert days_at_risk(record) == 31


def test_rule_2016_without_training_leaves_it_to_the_spell():
    record = make_record(pd_spells=[spell("2025-01-01", "2025-01-31")])
    assert days_at_risk(record, "rule_2016") == 31


OFF = make_record(
    patients=[{"patient": "P", "died_on": "2025-06-30"}],
    pd_spells=[spell("2025-02-01", "2025-02-28"), spell("2025-04-01")],
    pd_pauses=[
        spell("2025-01-20", "2025-01-25", reason="catheter_rest"),
        spell("2025-02-10", "2025-03-10", reason="catheter_rest"),
    ],
    trainings=[{"completed_on": "2025-02-05"}],
)


@pytest.mark.parametrize(
    ("on", "reason"),
    [
        ("2025-01-22", "before_pd"),
        ("2025-02-01", ""),
        ("2025-02-10", "paused"),
        ("2025-03-05", "paused"),
        ("2025-03-20", "after_pd"),
        ("2025-06-30", ""),
        ("2025-07-01", "after_pd"),
    ],
)
def test_the_first_reason_that_holds_is_named(on, reason):
    assert state(OFF, on) == reason


def test_before_training_is_a_reason_of_rule_2016_only():
    assert state(OFF, "2025-02-02", "rule_2016") == "before_training"


def test_without_a_spell_every_day_is_before_pd():
    assert state(make_record(), "2025-02-02") == "before_pd"
