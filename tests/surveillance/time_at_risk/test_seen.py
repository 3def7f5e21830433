"""What begins after `as_of` is unseen, and a later end is read as empty (design 2)."""

import pytest

from surveillance.tables import NO_DAY
from surveillance.time_at_risk.seen import seen
from tests.surveillance.records import day, make_record

AS_OF = day("2025-06-30")
BEFORE, ON, AFTER = "2025-06-01", "2025-06-30", "2025-07-01"

BEGINS = {
    "pd_spells": "started_on",
    "pd_pauses": "started_on",
    "catheters": "inserted_on",
    "catheter_infections": "onset_on",
    "peritonitis": "onset_on",
    "admissions": "admitted_on",
    "trainings": "completed_on",
}
ENDS = {
    "pd_spells": ("started_on", "last_day_on"),
    "catheters": ("inserted_on", "removed_on"),
    "peritonitis": ("onset_on", "therapy_completed_on"),
    "admissions": ("admitted_on", "discharged_on"),
    "trainings": ("started_on", "completed_on"),
}


@pytest.mark.parametrize(("table", "column"), BEGINS.items())
def test_what_begins_later_is_unseen(table, column):
    record = make_record(**{table: [{column: ON}, {column: AFTER}]})
    assert getattr(seen(record, AS_OF), table)[column].tolist() == [AS_OF]


@pytest.mark.parametrize(("table", "columns"), ENDS.items())
def test_a_later_end_is_empty(table, columns):
    first, last = columns
    rows = [{first: BEFORE, last: ON}, {first: BEFORE, last: AFTER}]
    found = getattr(seen(make_record(**{table: rows}), AS_OF), table)
    assert found[last].tolist() == [AS_OF, NO_DAY]


def test_a_later_death_is_unseen():
    record = make_record(patients=[{"patient": "P", "died_on": AFTER}])
    assert seen(record, AS_OF).patients["died_on"].tolist() == [NO_DAY]


def test_a_later_sample_is_unseen_and_one_without_a_day_is_seen():
    record = make_record(
        peritonitis=[{"onset_on": BEFORE}],
        effluent_samples=[{"sample": "a", "collected_on": AFTER}, {"sample": "b"}],
    )
    assert seen(record, AS_OF).effluent_samples["sample"].tolist() == ["b"]


@pytest.mark.parametrize(
    ("row", "onset"),
    [
        ({"onset_on": "2025-05-03", "presented_on": "2025-05-02"}, "2025-05-03"),
        ({"presented_on": "2025-05-02"}, "2025-05-02"),
        ({}, "2025-05-01"),
    ],
)
def test_onset_is_recorded_else_presented_else_the_earliest_sample(row, onset):
    samples = [{"collected_on": "2025-05-04"}, {"collected_on": "2025-05-01"}, {}]
    found = seen(make_record(peritonitis=[row], effluent_samples=samples), AS_OF)
    assert found.peritonitis["onset_on"].tolist() == [day(onset)]


def test_an_episode_without_any_day_is_left_out():
    assert seen(make_record(peritonitis=[{}]), AS_OF).peritonitis.empty
