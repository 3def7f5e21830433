"""Cohorts of first trainers: shrunk, without names, in no order of rate."""

from __future__ import annotations

from typing import Any

from reports.charts.chart import Chart
from reports.charts.lying_figures import Words, lying_figures
from reports.charts.lying_layout import Line
from reports.charts.rate_lines import rate_axis
from reports.charts.rate_table import is_open
from reports.charts.scale import roof
from reports.charts.training_clock import LEAST, MOST, STEP
from reports.dashboard.material import Material
from reports.rate_report.names import RATE
from reports.rate_report.number_text import rate_text, whole_text, years_text

Row = dict[str, Any]
SPLIT = "first_trainer"
FEWEST = 3  # access.csv, dashboard.trainer_cohort: hidden with fewer
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_NOTE = (
    "Patients by who trained them first; most days at risk first. Each rate is pulled towards the "
    "target by a prior worth ten patient-years, so that few episodes do not shout. Who trained "
    "the frailest patients has the highest rate: this is no judgement of a person."
)


def cohort_chart(m: Material) -> Chart | None:
    """Nothing for whoever may not see it, nor with fewer than three trainers."""
    cohorts = _cohorts(m) if m.sight.sees_trainers else []
    whole = m.figures.row(m.year, RATE)
    if len(cohorts) < FEWEST or whole is None:
        return None
    lines = [_line(place, *pair) for place, pair in enumerate(cohorts)]
    axis = rate_axis(roof([one.row for one in lines], STEP, LEAST, MOST), whole)
    words = Words("trainer_cohorts", _title(m, lines, whole), "Shrunk rate by cohort", _NOTE)
    return lying_figures(lines, axis, words)


def _cohorts(m: Material) -> list[tuple[Row, Row]]:
    """Measure row and shrunk estimate of each cohort, the largest first."""
    pairs = [
        (row, shrunk)
        for row in m.figures.bands(m.year, RATE, SPLIT)
        if (shrunk := m.figures.estimate(m.year, RATE, SPLIT, row["band"], "gamma_prior"))
    ]
    return sorted(pairs, key=lambda pair: (-pair[0]["denominator"], pair[0]["band"]))


def _line(place: int, row: Row, shrunk: Row) -> Line:
    """The counts of the measure row with the shrunk rate and its range."""
    name = f"Cohort {_LETTERS[place % len(_LETTERS)]}"
    limits = {key: shrunk[key] for key in ("value", "lower", "upper")}
    shown = row | limits | {"band": name}
    counted, years = whole_text(row["numerator"]), years_text(row["denominator"])
    value = "too little time" if is_open(row) else rate_text(shrunk["value"])
    low, high = (rate_text(shrunk[limit]) for limit in ("lower", "upper"))
    spoken = f"{name}: {counted} in {years} patient-years, shrunk {value}, range {low} to {high}."
    return Line(name, shown, (counted, years, value), spoken, f"{counted} in {years}: {value}")


def _title(m: Material, lines: list[Line], whole: Row) -> str:
    """Marshall's moments: one value for all where chance explains every difference."""
    rows = m.figures.estimates(m.year)
    moments = {
        row["value"] for row in rows if row["split"] == SPLIT and row["method"] == "marshall"
    }
    if len({round(value, 12) for value in moments}) <= 1:
        return "No evidence that cohorts of trainers differ: chance explains what is seen."
    outside = [one for one in lines if not one.row["lower"] <= whole["value"] <= one.row["upper"]]
    if outside:
        told = " and ".join(one.name for one in outside)
        return f"{told}: the range does not hold the rate of all patients."
    return "Cohorts of trainers may differ, but every range holds the rate of all patients."
