"""The ledger of days: lines, marks and the totals of what is drawn."""

import re
from datetime import date

import plotly.graph_objects as go
import pytest

from reports.charts.ledger_picture import Onset, ledger_pages, ledger_picture
from reports.recount.ledger import PatientDays, Stretch
from tests.reports.charts.measure_rows import shapes, texts

FIRST, STOP = date(2025, 1, 1), date(2026, 1, 1)


def whole_year(number: int) -> PatientDays:
    stretch = Stretch(FIRST, date(2025, 12, 31), "at_risk", "")
    return PatientDays(f"TQ-{number:03d}", (stretch,), 365)


PAUSED = PatientDays(
    "TQ-900",
    (
        Stretch(FIRST, date(2025, 3, 31), "at_risk", ""),
        Stretch(date(2025, 4, 1), date(2025, 4, 30), "off_risk", "paused"),
        Stretch(date(2025, 5, 1), date(2025, 12, 31), "at_risk", ""),
    ),
    335,
)
ONSETS = [
    Onset("TQ-001", date(2025, 3, 3), "new", "counted"),
    Onset("TQ-001", date(2025, 12, 19), "relapsing-open", "not counted: relapse"),
]


@pytest.mark.parametrize("variant", ["svg", "svg_narrow"])
def test_every_line_drawn_is_a_row_of_the_table(variant):
    chart = ledger_picture([whole_year(1), whole_year(2), PAUSED], ONSETS, FIRST, STOP)
    drawn = shapes(getattr(chart, variant))
    found = [
        (one["data-patient"], int(one["data-days"]), int(one["data-episodes"])) for one in drawn
    ]
    assert found == list(chart.rows) == [("TQ-001", 365, 2), ("TQ-002", 365, 0), ("TQ-900", 335, 0)]


def test_finding_names_both_parts_of_the_figure():
    chart = ledger_picture([whole_year(1), PAUSED], ONSETS, FIRST, STOP)
    assert chart.title == "700 days, 1 filled mark: both parts of the figure in one ledger."
    assert chart.shown_rows[0][2] == "3 Mar 2025, counted; 19 Dec 2025, not counted: relapse"


def test_stopping_pause_is_dotted():
    assert "stroke-dasharray" in ledger_picture([PAUSED], [], FIRST, STOP).svg
    assert "stroke-dasharray" not in ledger_picture([whole_year(1)], [], FIRST, STOP).svg


def test_more_than_64_patients_are_paged_and_the_page_says_so():
    lines = [whole_year(number) for number in range(1, 151)]
    assert ledger_pages(lines) == 3 and ledger_pages([]) == 1
    last = ledger_picture(lines, ONSETS, FIRST, STOP, page=3)
    assert len(shapes(last.svg)) == len(last.rows) == 22
    assert "Patients 129 to 150 of 150 are drawn here: 8,030 of the days" in last.note
    assert last.title.startswith("54,750 days")


def test_columns_end_with_the_sum_of_their_days():
    chart = ledger_picture([whole_year(1), whole_year(2), PAUSED], [], FIRST, STOP)
    assert "730" in texts(chart.svg) and "335" in texts(chart.svg)
    assert "1,065" in texts(chart.svg_narrow)


def test_figure_holds_the_onsets():
    figure = go.Figure(ledger_picture([whole_year(1)], ONSETS, FIRST, STOP).figure)
    assert list(figure.data[1].x) == ["2025-03-03", "2025-12-19"]
    assert list(figure.data[0].y) == ["TQ-001", "TQ-001", None]


@pytest.mark.parametrize("variant", ["svg", "svg_narrow"])
@pytest.mark.parametrize(("name", "drawn"), [("WUNMEYB", "WUNMEYB"), ("M" * 40, "M" * 13 + "…")])
def test_no_line_touches_the_longest_name(variant, name, drawn):
    named = PatientDays(name, whole_year(1).stretches, 365)
    svg = getattr(ledger_picture([whole_year(1), named], [], FIRST, STOP), variant)
    # Capitals are about 0.7 of their size wide, as measured in the browser.
    begins = float(
        re.search(r'<line x1="([0-9.]+)"[^>]*class="line-ink" stroke-width="1.5"', svg)[1]
    )
    assert drawn in texts(svg) and begins >= len(drawn) * 13.5 * 0.7
