"""Subgroups: how the rate divides, each range against the rate of all patients."""

from __future__ import annotations

from typing import Any

from reports.charts.chart import Chart
from reports.charts.lying_figures import Words, lying_figures
from reports.charts.lying_layout import Line
from reports.charts.rate_lines import group_of, rate_axis
from reports.charts.scale import roof
from reports.charts.training_clock import LEAST, MOST, STEP
from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection
from reports.rate_report.findings import apart
from reports.rate_report.names import RATE, band_text
from reports.rate_report.number_text import number_word

Row = dict[str, Any]

SPLITS = {
    "modality": "CAPD or APD",
    "assistance": "Who does the exchanges",
    "catheter_age": "Age of the catheter",
    "insertion_method": "How the catheter was put in",
    "time_on_pd": "Time since PD began",
}


def section(m: Material) -> PageSection:
    chart = _chart(m)
    return PageSection(
        "subgroups", "Subgroups",
        "Crude rates: groups differ in more than their name, and none is adjusted for another. "
        "Open and dotted: under 5 patient-years (our choice).",
        (chart,) if chart else (),
    )  # fmt: skip


def _chart(m: Material) -> Chart | None:
    whole = m.figures.row(m.year, RATE)
    if whole is None or not whole["denominator"]:
        return None
    lines: list[Line] = []
    for split, name in SPLITS.items():
        rows = [row for row in m.figures.bands(m.year, RATE, split) if row["denominator"]]
        lines += group_of(sorted(rows, key=_place), name, m.lead)
    axis = rate_axis(roof([one.row for one in lines], STEP, LEAST, MOST), whole)
    words = Words("subgroups", _title(lines, whole), "Rate by subgroup", _looks(m, lines))
    return lying_figures(lines, axis, words)


def _place(row: Row) -> tuple[bool, int, str]:
    """Bands in time order, others by name, what is not known last."""
    band = row["band"]
    start = band.split("-")[0].rstrip("+")
    return band in ("unknown", "none_recorded"), int(start) if start.isdigit() else 0, band


def _title(lines: list[Line], whole: Row) -> str:
    outside = apart([one.row for one in lines], whole)
    if not outside:
        return "No subgroup stands apart: every range holds the rate of all patients."
    told = "; ".join(
        f"{SPLITS[row['split']].lower()}, {band_text(row['split'], row['band'])}, {side}"
        for row, side in outside
    )
    return f"Beyond chance from the rate of all patients: {told}."


def _looks(m: Material, lines: list[Line]) -> str:
    """How many looks, and how many of them err by luck."""
    many, by_luck = len(lines), len(lines) * 0.05
    all_looks = m.figures.estimate(m.year, "looks_count")
    more = f" The whole year has {all_looks['value']:.0f} such ranges." if all_looks else ""
    return (
        f"{number_word(many).capitalize()} ranges are looked at here: at 95 % about "
        f"{by_luck:.1f} of them miss by luck alone.{more}"
    )
