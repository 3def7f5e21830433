"""The ledger has each patient's every day once, in longest stretches."""

from datetime import date

from surveillance.time_at_risk.calendar import calendar
from surveillance.time_at_risk.days_table import ledger_table
from tests.surveillance.records import make_record, spell, timeline_of


def stretches(record, as_of=date(2025, 3, 31)):
    at = timeline_of(record, as_of=as_of)
    table = ledger_table(at, calendar(at.record, as_of, None))
    return [tuple(row) for row in table.drop(columns="clinic").itertuples(index=False)]


def test_stretches_follow_each_other_without_gap():
    record = make_record(
        pd_spells=[spell("2025-01-11", "2025-02-20")],
        pd_pauses=[spell("2025-01-21", "2025-01-25", reason="catheter_rest")],
    )
    assert stretches(record) == [
        ("P", "2025-01-01", "2025-01-10", "off_risk", 10, "before_pd"),
        ("P", "2025-01-11", "2025-01-20", "at_risk", 10, ""),
        ("P", "2025-01-21", "2025-01-25", "off_risk", 5, "paused"),
        ("P", "2025-01-26", "2025-02-20", "at_risk", 26, ""),
        ("P", "2025-02-21", "2025-03-31", "off_risk", 39, "after_pd"),
    ]


def test_a_patient_without_a_spell_is_off_risk_throughout():
    people = [{"patient": "P"}, {"patient": "Q"}]
    record = make_record(patients=people, pd_spells=[spell("2025-01-01")])
    assert stretches(record) == [
        ("P", "2025-01-01", "2025-03-31", "at_risk", 90, ""),
        ("Q", "2025-01-01", "2025-03-31", "off_risk", 90, "before_pd"),
    ]


def test_a_month_not_ended_is_left_out():
    found = stretches(make_record(pd_spells=[spell("2025-01-01")]), date(2025, 3, 30))
    assert found == [("P", "2025-01-01", "2025-02-28", "at_risk", 59, "")]


def test_a_clinic_with_nothing_dated_has_no_rows():
    assert stretches(make_record()) == []
