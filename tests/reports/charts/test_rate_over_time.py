"""Drawing, figure and table of the rate over time hold the same numbers."""

import plotly.graph_objects as go
import pytest

from reports.charts.rate_over_time import rate_over_time
from tests.reports.charts.measure_rows import number, rate_row, shapes, texts

QUARTERS = [f"{year}-Q{part}" for year in (2022, 2023, 2024, 2025) for part in (1, 2, 3, 4)]


def rolling(counts: list[int], days: int = 18_000):
    names = QUARTERS[-len(counts) :]
    return [rate_row(f"{name}/4q", count, days) for name, count in zip(names, counts, strict=True)]


NINE = rolling([14, 17, 20, 26, 37, 38, 34, 29, 17])
ALONE = [rate_row(name, 4, 4_500) for name in QUARTERS]


@pytest.mark.parametrize("variant", ["svg", "svg_narrow"])
def test_every_point_drawn_is_a_row_of_the_table(variant):
    chart = rate_over_time(NINE, ALONE)
    drawn = shapes(getattr(chart, variant))
    for datum, row in zip(drawn, chart.rows, strict=True):
        assert datum["data-period"] == row[0]
        numbers = [number(datum[f"data-{name}"]) for name in ("numerator", "denominator")]
        assert numbers == [row[1], row[2]]
        limits = [number(datum[f"data-{name}"]) for name in ("value", "lower", "upper")]
        assert limits == list(row[4:7])


def test_figure_holds_the_numbers_of_the_table():
    chart = rate_over_time(NINE, ALONE)
    points, alone, target = go.Figure(chart.figure).data
    assert list(points.y) == [row[4] for row in chart.rows]
    reach = zip(points.y, points.error_y.array, points.error_y.arrayminus, strict=True)
    for (value, up, down), row in zip(reach, chart.rows, strict=True):
        assert (value - down, value + up) == pytest.approx((row[5], row[6]))
    assert list(target.y) == [row[7] for row in chart.rows]
    assert list(alone.y) == [row[9] for row in chart.rows]


def test_quarter_alone_is_a_small_dot_at_its_rolling_year():
    chart = rate_over_time(NINE, ALONE)
    dots = shapes(chart.svg, "dot")
    assert [dot["data-period"] for dot in dots] == QUARTERS[-9:]
    assert [number(dot["data-value"]) for dot in dots] == [row[9] for row in chart.rows]


def test_period_with_nobody_at_risk_is_a_gap():
    rows = [*rolling([3, 4]), rate_row("2026-Q1/4q", 0, 0)]
    chart = rate_over_time(rows)
    assert [datum["data-period"] for datum in shapes(chart.svg)] == ["2025-Q3/4q", "2025-Q4/4q"]
    assert go.Figure(chart.figure).data[0].y[-1] is None
    assert "–" in texts(chart.svg)
    assert "Nobody was at risk in 2025 Q2 to 2026 Q1" in chart.note
    assert chart.shown_rows[-1][4] == "nobody at risk"


def test_too_little_time_is_open_and_dotted_and_does_not_set_the_scale():
    chart = rate_over_time([*rolling([3]), rate_row("2026-Q1/4q", 1, 700)])
    assert 'stroke-dasharray="2 4"' in chart.svg
    assert "to 2.9" in texts(chart.svg)  # 1 in 1.92 years: Garwood 0.013 to 2.907
    assert "0.8" in texts(chart.svg) and "1.0" not in texts(chart.svg)


def test_rate_over_the_scale_is_named_at_the_edge():
    chart = rate_over_time([*rolling([3]), rate_row("2026-Q1/4q", 1, 30)])
    assert any(text.startswith("12.2, to ") for text in texts(chart.svg))


def test_misses_beyond_chance_are_bracketed_in_words():
    assert "above the target, beyond chance" in texts(rate_over_time(NINE).svg)
    assert "above the target, beyond chance" not in texts(rate_over_time(rolling([14, 17])).svg)


def test_figures_stand_under_their_points():
    chart = rate_over_time(NINE)
    shown = texts(chart.svg)
    for row in chart.shown_rows:
        assert row[1] in shown and row[3] in shown and row[4] in shown


def test_long_history_keeps_the_latest_points():
    rows = [
        rate_row(f"{year}-Q{part}/4q", 5, 9_000)
        for year in range(2016, 2026)
        for part in range(1, 5)
    ]
    chart = rate_over_time(rows)
    assert len(chart.rows) == len(shapes(chart.svg)) == 16
    narrow = shapes(chart.svg_narrow)
    assert len(narrow) == 9 and narrow[-1]["data-period"] == "2025-Q4/4q"


def test_no_rolling_year_yet_says_so():
    chart = rate_over_time([])
    assert chart.title == "Four quarters are not complete yet."
    assert shapes(chart.svg) == []


def test_drawing_is_named_for_screen_readers_and_carries_no_style():
    chart = rate_over_time(NINE)
    for svg in (chart.svg, chart.svg_narrow):
        assert 'role="img"' in svg and "aria-label=" in svg
        assert "style=" not in svg and "<style" not in svg
    assert "2025, Q1 to Q4: 17 in 49.3 patient-years, 0.34, range 0.20 to 0.55." in chart.summary
