"""A figure against its line: better left, worse right, nothing drawn without a line."""

from xml.etree import ElementTree

import pytest

from reports.charts.verdict_strip import WIDTH, verdict_scale, verdict_strip
from tests.reports.charts.measure_rows import number, rate_row, shapes, share_row

RATE = rate_row("2025-Q4/4q", 17, 18_050)
FREE = share_row("peritonitis_free_share", 52, 64, 0.80)


def middle_of_point(svg: str) -> float:
    tree = ElementTree.fromstring(svg)
    (point,) = tree.iter("{http://www.w3.org/2000/svg}circle")
    return float(point.get("cx", "nan"))


def test_numbers_drawn_are_the_row_s():
    (datum,) = shapes(verdict_strip(RATE).svg)
    for name in ("value", "lower", "upper"):
        assert number(datum[f"data-{name}"]) == RATE[name]
    assert number(datum["data-line"]) == RATE["target"]


@pytest.mark.parametrize(
    "row, is_left",
    [
        (RATE, True),
        (rate_row("2025-Q4/4q", 38, 18_050), False),
        (FREE, True),  # 81 % free against 80 %: better, so left
        (share_row("peritonitis_free_share", 40, 64, 0.80), False),
        (share_row("culture_negative_share", 3, 18, 0.15), False),
    ],
)
def test_better_stands_left_of_the_line(row, is_left):
    assert (middle_of_point(verdict_strip(row).svg) < WIDTH / 2) is is_left


def test_figure_on_its_line_stands_in_the_middle():
    row = rate_row("2025", 4, 3_652) | {"value": 0.40}
    assert middle_of_point(verdict_strip(row).svg) == WIDTH / 2


def test_no_episode_runs_over_the_better_edge_as_an_arrow():
    strip = verdict_strip(rate_row("2025", 0, 9_000))
    assert "<circle" not in strip.svg and "<path" in strip.svg


@pytest.mark.parametrize(
    "row",
    [rate_row("2025", 0, 0), rate_row("2025", 1, 900, "modality", "apd"), RATE | {"lower": None}],
)
def test_without_a_line_or_a_range_nothing_is_drawn(row):
    assert verdict_strip(row).svg == ""


def test_line_may_be_the_year_before():
    strip = verdict_strip(RATE, 0.77, "as in 2024")
    assert strip.summary == "0.34, range 0.20 to 0.55, against as in 2024."
    assert number(shapes(strip.svg)[0]["data-line"]) == 0.77


def test_long_label_stays_on_paper():
    svg = verdict_strip(RATE, 0.77, "the year before, with the same target").svg
    (label,) = ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    assert (label.get("x"), label.get("text-anchor")) == (str(WIDTH), "end")


def test_scale_names_both_sides():
    assert "better" in verdict_scale() and "worse" in verdict_scale()
