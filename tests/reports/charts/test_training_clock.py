"""Drawing, figure and table of the training clock hold the same numbers."""

import plotly.graph_objects as go
import pytest

from reports.charts.training_clock import BANDS, training_clock
from tests.reports.charts.measure_rows import number, rate_row, shapes, texts

YEAR = "2025-Q4/4q"
WHOLE = rate_row(YEAR, 17, 18_050)
COUNTS = ((5, 4_493), (3, 5_223), (5, 5_114), (3, 2_192), (1, 657), (0, 371))
ROWS = [
    rate_row(YEAR, counted, days, "time_since_training", band)
    for band, (counted, days) in zip(BANDS, COUNTS, strict=True)
]


@pytest.mark.parametrize("variant", ["svg", "svg_narrow"])
def test_every_band_drawn_is_a_row_of_the_table(variant):
    chart = training_clock(ROWS, WHOLE)
    drawn = shapes(getattr(chart, variant))
    assert [datum["data-band"] for datum in drawn] == list(BANDS)
    for datum, row in zip(drawn, chart.rows, strict=False):
        names = ("numerator", "denominator", "value", "lower", "upper")
        numbers = [number(datum[f"data-{name}"]) for name in names]
        assert numbers == [row[1], row[2], *row[4:7]]


def test_all_patients_stand_under_the_bands_and_as_a_line():
    chart = training_clock(ROWS, WHOLE)
    assert chart.rows[-1][0] == "All patients"
    assert (
        number(shapes(chart.svg, "whole")[0]["data-value"]) == WHOLE["value"] == chart.rows[-1][4]
    )


def test_figure_holds_the_numbers_of_the_table():
    chart = training_clock(ROWS, WHOLE)
    figure = go.Figure(chart.figure)
    assert list(figure.data[0].x) == [row[4] for row in chart.rows[:-1]]
    assert figure.layout.shapes[0].x0 == WHOLE["value"]


def test_bands_stand_in_time_order_whatever_order_they_come_in():
    assert training_clock(ROWS[::-1], WHOLE).rows == training_clock(ROWS, WHOLE).rows


def test_band_with_too_little_time_says_so_and_its_range_goes_over_the_edge():
    shown = texts(training_clock(ROWS, WHOLE).svg)
    assert shown.count("too little time") == 2
    assert "to 3.1" in shown  # 1 in 1.80 years: Garwood's upper limit 3.098


def test_nobody_at_risk_draws_nothing():
    chart = training_clock([], rate_row(YEAR, 0, 0))
    assert chart.title == "Nobody was at risk in this year."
    assert chart.rows == () and shapes(chart.svg) == []
