"""Drawing, figure and table of the organisms hold the same numbers."""

import plotly.graph_objects as go
import pytest

from reports.charts.organisms import organisms
from tests.reports.charts.measure_rows import number, rate_row, shapes, texts

ORDER = (
    "coagulase_negative_staphylococcus", "escherichia_coli", "fungal", "culture_negative",
    "not_cultured",
)  # fmt: skip
YEARS = ("2025-Q4/4q", "2024-Q4/4q")


def rows(period: str, counts: dict[str, int]):
    return [rate_row(period, n, 18_000, "organism_group", band) for band, n in counts.items()]


NOW = rows(
    YEARS[0], {"coagulase_negative_staphylococcus": 4, "escherichia_coli": 2, "culture_negative": 3}
)
BEFORE = rows(YEARS[1], {"coagulase_negative_staphylococcus": 15, "fungal": 1, "not_cultured": 2})


@pytest.mark.parametrize("variant", ["svg", "svg_narrow"])
def test_every_bar_drawn_is_a_row_of_the_table(variant):
    chart = organisms(NOW, BEFORE, ORDER, YEARS)
    drawn = shapes(getattr(chart, variant))
    numbers = [(number(bar["data-now"]), number(bar["data-before"])) for bar in drawn]
    assert numbers == [row[1:] for row in chart.rows]
    assert [bar["data-band"] for bar in drawn] == list(ORDER)


def test_figure_holds_the_numbers_of_the_table():
    chart = organisms(NOW, BEFORE, ORDER, YEARS)
    now, before = go.Figure(chart.figure).data
    assert list(now.x) == [row[1] for row in chart.rows]
    assert list(before.x) == [row[2] for row in chart.rows]
    assert list(now.y) == [row[0] for row in chart.rows]


def test_order_given_is_kept_and_a_new_class_follows_it():
    more = [*NOW, *rows(YEARS[0], {"anaerobe": 1})]
    names = [row[0] for row in organisms(more, BEFORE, ORDER, YEARS).rows]
    assert names[0] == "Coagulase-negative staphylococci" and names[-1] == "Anaerobes"


def test_year_before_that_is_not_stored_is_not_a_zero():
    chart = organisms(NOW, [], ORDER, YEARS)
    assert {row[2] for row in chart.rows} == {None}
    assert chart.shown_rows[0][2] == "not stored"
    assert all("data-before" not in bar for bar in shapes(chart.svg))


def test_gram_is_a_sign_and_a_slit_not_a_colour_alone():
    chart = organisms(NOW, BEFORE, ORDER, YEARS)
    assert "+" in texts(chart.svg) and "−" in texts(chart.svg)
    assert "url(#hatch-organisms-wide)" in chart.svg


def test_rolling_year_inside_a_year_is_named_by_its_quarter():
    chart = organisms(NOW, BEFORE, ORDER, ("2025-Q3/4q", "2024-Q3/4q"))
    assert chart.columns[1] == "The year to 30 September 2025"
    assert "to Q3 2025" in texts(chart.svg)
