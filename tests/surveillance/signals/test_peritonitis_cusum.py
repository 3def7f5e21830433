"""The weekly sum: against the worked path, across phases, with nobody at risk."""

from datetime import date

import numpy as np
import pytest

from surveillance.signals.alarm import is_alarm
from surveillance.signals.cusum import lr_cusum_path
from surveillance.signals.cusum_limits import limits_for
from surveillance.signals.peritonitis_cusum import climbs
from surveillance.signals.phases import Phase
from tests.surveillance.records import day, make_record, spell
from tests.surveillance.signals.watched import clinic, signals

RULE = "peritonitis_cusum"
# Seven episodes in seven weeks among 30 patients, after two quiet years.
RISE = [(f"2024-0{month}-{dom:02}", patient, "") for patient, (month, dom) in enumerate(
    [(3, 5), (3, 12), (3, 19), (3, 26), (4, 2), (4, 9), (4, 16)]
)]  # fmt: skip


def test_the_path_is_that_of_the_slow_function() -> None:
    """Source: `lr_cusum_path`, itself held to worked examples lrcusum-01 to lrcusum-04."""
    chance = np.random.default_rng(5)
    years = np.full((1, 300), 30 * 7 / 365.25)
    counts = chance.poisson(0.6, (1, 300))
    base = np.full((1, 300), 0.4)
    found = climbs(counts, years, base, np.zeros((1, 300), dtype=bool))
    (limit,) = set(found.limit[0].tolist())
    slow = lr_cusum_path(counts[0], years[0], 0.4, 2, limit)
    assert found.total[0] == pytest.approx(slow.path_reset_to_zero_after_alarm)
    assert (np.flatnonzero(found.total[0] > found.limit[0]) + 1).tolist() == slow.alarms_reset
    assert slow.alarms_reset


def test_several_clinics_are_each_as_if_alone() -> None:
    chance = np.random.default_rng(6)
    years = chance.uniform(0.1, 2, (4, 60))
    counts = chance.poisson(0.5, (4, 60))
    base, no = np.full((4, 60), 0.4), np.zeros((4, 60), dtype=bool)
    together = climbs(counts, years, base, no)
    for row in range(4):
        alone = climbs(counts[[row]], years[[row]], base[[row]], no[[row]])
        assert alone.total[0].tolist() == together.total[row].tolist()
        assert alone.limit[0].tolist() == together.limit[row].tolist()


def test_a_rise_is_an_alarm_that_says_its_window_and_its_luck() -> None:
    rows = signals(clinic(30, RISE), RULE)
    alarms = [row for row in rows if is_alarm(row)]
    assert len(alarms) == 1
    (alarm,) = alarms
    limit, luck = limits_for(30 * 0.4 * 7 / 365.25)
    assert (alarm["limit"], alarm["false_alarms_per_year"]) == (limit, luck)
    assert alarm["window_start"] == "2024-03-04"
    assert "Luck alone raises such an alarm about once in 8." in alarm["sentence"]
    assert "one of 18 lines" in alarm["sentence"]


def test_every_week_from_the_first_at_risk_on_has_a_row_and_only_whole_weeks() -> None:
    rows = signals(clinic(3, [], began="2025-10-01"), RULE)
    ends = [row["window_end"] for row in rows]
    assert ends[0] == "2025-10-05"  # the Sunday of the first week with anybody at risk
    assert ends[-1] == "2025-12-28"
    assert len(ends) == 13
    assert {row["statistic"] for row in rows} == {0.0}


def test_after_an_alarm_the_sum_starts_from_nothing() -> None:
    rows = signals(clinic(30, RISE), RULE)
    place = next(number for number, row in enumerate(rows) if is_alarm(row))
    assert rows[place + 1]["window_start"] > rows[place]["window_end"]


def test_an_agreed_baseline_replaces_the_target_from_its_first_whole_week_on() -> None:
    phases = {"A": [Phase(day("2025-10-08"), 0.2)]}
    rows = signals(clinic(30, []), RULE, phases=phases)
    weekly = {row["window_end"]: row for row in rows}
    before, after = weekly["2025-10-12"], weekly["2025-10-19"]
    assert before["expected"] == pytest.approx(0.4 * 30 * 7 / 365.25)
    assert after["expected"] == pytest.approx(0.2 * 30 * 7 / 365.25)
    assert "agreed baseline of 0.20" in after["sentence"]
    assert "target of 0.40" in before["sentence"]


def test_a_new_phase_starts_the_sum_anew() -> None:
    phases = {"A": [Phase(day("2024-03-25"), None)]}
    rows = signals(clinic(30, RISE), RULE, phases=phases)
    assert not any(map(is_alarm, rows))
    weekly = {row["window_end"]: row for row in rows}
    assert weekly["2024-03-31"]["window_start"] == "2024-03-25"


def test_a_week_with_nobody_at_risk_moves_nothing_and_says_so() -> None:
    pause = [{"patient": 0, "started_on": "2025-06-02", "last_day_on": "2025-07-06",
              "reason": "catheter_rest"}]  # fmt: skip
    record = clinic(1, [("2025-05-20", 0, "")], pd_pauses=pause)
    weekly = {row["window_end"]: row for row in signals(record, RULE)}
    assert weekly["2025-06-29"]["statistic"] == weekly["2025-06-08"]["statistic"] > 0
    assert weekly["2025-06-29"]["sentence"] == "Nobody was at risk in this week."


def test_a_clinic_where_nobody_ever_was_at_risk_has_one_line_without_figures() -> None:
    record = make_record(catheters=[{"catheter": "C1", "inserted_on": "2025-05-05"}])
    (row,) = signals(record, RULE)
    assert (row["statistic"], row["limit"]) == (None, None)
    assert "nothing to watch yet" in row["sentence"]


def test_a_clinic_with_nothing_dated_has_no_rows() -> None:
    assert signals(make_record(), RULE) == []


def test_the_watch_ends_with_the_period_that_a_report_ends_with() -> None:
    rows = signals(clinic(30, RISE), RULE, through="2024-Q1")
    assert rows[-1]["window_end"] == "2024-03-31"


def test_a_growing_clinic_keeps_the_limit_of_a_climb() -> None:
    growing = [spell("2024-01-01", patient=number) for number in range(5)]
    growing += [spell("2025-02-01", patient=number) for number in range(5, 40)]
    record = make_record(
        patients=[{"patient": f"P{number:02}"} for number in range(40)], pd_spells=growing
    )
    limits = [row["limit"] for row in signals(record, RULE, as_of=date(2025, 12, 31))]
    assert limits[0] == limits_for(5 * 0.4 * 7 / 365.25)[0]
    assert limits[-1] == limits_for(40 * 0.4 * 7 / 365.25)[0]
    assert sorted(limits) == limits
