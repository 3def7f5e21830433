"""Why an episode counts or not: the first reason that holds."""

import pytest

from surveillance.tables import NO, UNKNOWN
from tests.surveillance.records import cells_met, make_record, peritonitis, spell
from tests.surveillance.results import cases_of


def reason(onset, rule_set="rule_2022", **more):
    record = make_record(
        pd_spells=[spell("2025-02-01", "2025-06-30")],
        pd_pauses=[spell("2025-03-01", "2025-03-10", reason="catheter_rest")],
        trainings=[{"completed_on": "2025-02-10"}],
        peritonitis=[peritonitis("E", onset) | more],
        effluent_samples=[cells_met(0, onset)],
    )
    found = cases_of(record, rule_set)["E"]
    return found["reason"], found["timing"]


@pytest.mark.parametrize(
    ("onset", "expected"),
    [
        ("2025-01-31", ("not_counted_before_pd", "pre_pd")),
        ("2025-02-01", ("counted_new", "pd_associated")),
        ("2025-03-10", ("not_counted_paused", "pd_associated")),
        ("2025-06-30", ("counted_new", "pd_associated")),
        ("2025-07-01", ("not_counted_after_pd", "pd_associated")),
    ],
)
def test_the_day_of_onset_decides(onset, expected):
    assert reason(onset) == expected


def test_before_training_is_a_reason_under_rule_2016():
    assert reason("2025-02-05", "rule_2016")[0] == "not_counted_before_training"


@pytest.mark.parametrize(
    ("signs", "expected"), [(UNKNOWN, "not_counted_unconfirmed"), (NO, "not_counted_unconfirmed")]
)
def test_one_criterion_is_not_enough(signs, expected):
    assert reason("2025-01-31", cloudy_effluent=signs, abdominal_pain=signs)[0] == expected
