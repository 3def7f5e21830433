"""The top of a rate scale seldom moves and always holds the rates that had time enough."""

import pytest

from reports.charts.scale import Scale, roof, ticks
from tests.reports.charts.measure_rows import rate_row


@pytest.mark.parametrize(
    "counted, days, expected",
    [
        (0, 18_000, 0.8),  # never lower than twice the target
        (38, 17_800, 1.2),  # upper limit 1.07
        (30, 3_650, 3.2),  # the rate itself, 3.0, stays on paper; its limit 4.29 need not
        (1, 300, 0.8),  # under 5 patient-years: no say
        (0, 0, 0.8),
    ],
)
def test_roof_of_the_scale(counted, days, expected):
    assert roof([rate_row("2025", counted, days)], 0.2, 0.8, 2.0) == pytest.approx(expected)


def test_scale_runs_upwards_and_is_held_at_its_edges():
    scale = Scale(0, 2, 300, 100)
    assert (scale.at(0), scale.at(1), scale.inside(9)) == (300, 200, 100)


def test_ticks_end_at_the_top():
    assert ticks(0.8, 0.2) == [0.0, 0.2, 0.4, 0.6, 0.8]
