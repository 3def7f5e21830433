"""An alarm lies strictly beyond its limit, by a rule that raises alarms."""

import pytest

from surveillance.signals.alarm import is_alarm, stands_out


@pytest.mark.parametrize(
    ("rule", "statistic", "limit", "out", "alarm"),
    [
        ("peritonitis_cusum", 3.11, 3.1, True, True),
        ("peritonitis_cusum", 3.1, 3.1, False, False),
        ("peritonitis_cusum", None, None, False, False),
        ("organism_cluster", 3.0, 2.0, True, True),
        ("organism_cluster", 3.0, None, False, False),
        ("organism_pair", 2.0, 1.0, True, False),  # for information
        ("quarterly_rate", 2.0, 1.0, True, False),  # for the page
        ("funnel", 1.0, 0.9, True, True),
        ("funnel_low", 0.1, 0.2, True, True),
        ("funnel_low", 0.3, 0.2, False, False),
    ],
)
def test_what_stands_out_and_what_is_an_alarm(rule, statistic, limit, out, alarm) -> None:
    row = {"rule": rule, "statistic": statistic, "limit": limit}
    assert (stands_out(row), is_alarm(row)) == (out, alarm)


def test_what_is_not_a_number_is_no_alarm() -> None:
    row = {"rule": "peritonitis_cusum", "statistic": float("nan"), "limit": 3.0}
    assert not is_alarm(row)
