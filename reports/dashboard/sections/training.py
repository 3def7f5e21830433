"""Training clock: the rate since any training, three clocks of their own, cohorts, accidents."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from reports.charts.chart import Chart
from reports.charts.lying_figures import Words, lying_figures
from reports.charts.lying_layout import Line
from reports.charts.rate_lines import group_of, rate_axis
from reports.charts.scale import roof
from reports.charts.share_lines import SHARE_ONLY, estimate_line, share_axis
from reports.charts.training_clock import BANDS, LEAST, MOST, STEP, training_clock
from reports.dashboard.material import Material
from reports.dashboard.sections.cohorts import cohort_chart
from reports.dashboard.sections.page_section import PageSection
from reports.rate_report.findings import apart, bands_caution, bands_headline
from reports.rate_report.names import CLOCKS, RATE
from reports.rate_report.number_text import counted_text, percent_text, whole_text

Row = dict[str, Any]

CAUTION = (
    "A triggered retraining follows an infection, so the days after it belong to people who had "
    "one: frail patients fill the first band. A higher rate there says nothing against "
    "retraining, and a lower rate elsewhere nothing for it. Compare within one clock only."
)
_NAMES = {
    "time_since_initial_training": "Since the initial training",
    "time_since_scheduled_training": "Since a scheduled reassessment",
    "time_since_triggered_training": "Since a retraining after an infection",
}


def section(m: Material) -> PageSection:
    charts = (_any(m), _clocks(m), cohort_chart(m), _contaminations(m))
    return PageSection(
        "training", "Training clock",
        "Days since the latest training, on each day at risk; that day is 0. "
        "Open and dotted: under 5 patient-years (our choice).",
        tuple(chart for chart in charts if chart), (CAUTION, *_overdue(m)),
    )  # fmt: skip


def _bands(m: Material, clock: str) -> list[Row]:
    rows = [row for row in m.figures.bands(m.year, RATE, clock) if row["denominator"]]
    return sorted(rows, key=lambda row: BANDS.index(row["band"]))


def _any(m: Material) -> Chart:
    bands, whole = _bands(m, CLOCKS[0]), m.figures.row(m.year, RATE)
    chart = training_clock(bands, whole, bands_headline(bands, whole), m.lead)
    return replace(chart, note=f"Any training. {bands_caution(bands, whole)}".rstrip())


def _clocks(m: Material) -> Chart | None:
    whole = m.figures.row(m.year, RATE)
    if whole is None or not whole["denominator"]:
        return None
    lines: list[Line] = []
    for clock in CLOCKS[1:]:
        lines += group_of(_bands(m, clock), _NAMES[clock], m.lead)
    rows = [one.row for one in lines]
    axis = rate_axis(roof(rows, STEP, LEAST, MOST), whole)
    words = Words("three_clocks", _title(lines, whole), "Rate by each clock", _adds_up(m, whole))
    return lying_figures(lines, axis, words)


def _title(lines: list[Line], whole: Row) -> str:
    outside = apart([one.row for one in lines], whole)
    if not outside:
        return "On each of the three clocks every range holds the rate of all patients."
    looks = whole_text(len(lines))
    many = counted_text(len(outside), "band stands", "bands stand")
    return f"{many} apart from the rate of all patients, of {looks} looked at."


def _adds_up(m: Material, whole: Row) -> str:
    """Whether the bands of each clock give the whole, said from the stored rows."""
    for clock in CLOCKS:
        rows = _bands(m, clock)
        sums = tuple(sum(row[name] for row in rows) for name in ("numerator", "denominator"))
        if sums != (whole["numerator"], whole["denominator"]):
            return f"The bands of {_NAMES.get(clock, 'any training')} do not add up: compute again."
    days, counted = whole_text(whole["denominator"]), whole_text(whole["numerator"])
    return f"The bands of each clock add up to the same {counted} counted and {days} days at risk."


def _overdue(m: Material) -> list[str]:
    found = m.figures.estimate(m.year, "training_overdue_share")
    if found is None or found["value"] is None:
        return []
    low, high = (percent_text(found[limit]) for limit in ("lower", "upper"))
    said = f"Overdue: {percent_text(found['value'])} of the patients at risk on the last day were "
    said += f"last trained a year or longer before, range {low.removesuffix(' %')} to {high}"
    return [f"{said}{'; ' + found['note'] if found['note'] else ''}."]


_SHARES = {
    "contamination_prophylaxis_share": "Prophylaxis given",
    "contamination_followed_by_peritonitis_share": "Peritonitis within 7 days",
}
_KINDS = {"dry": "dry: clamp closed", "wet": "wet: fluid ran in after"}


def _contaminations(m: Material) -> Chart | None:
    total = m.figures.estimate(m.year, "contaminations_count")
    if total is None or not total["value"]:
        return None
    lines = []
    for name, said in _SHARES.items():
        found = [m.figures.estimate(m.year, name, "contamination_kind", kind) for kind in _KINDS]
        known = [row for row in found if row and row["value"] is not None]
        lines += [
            estimate_line(row, _KINDS[row["band"]], "" if place else said, SHARE_ONLY)
            for place, row in enumerate(known)
        ]
    counts = [_count(m, kind) for kind in _KINDS]
    many = counted_text(int(total["value"]), "contamination was", "contaminations were")
    title = f"{many} reported: {counts[0]} dry, {counts[1]} wet."
    words = Words("contaminations", title, "Shares of contaminations", _FEW_ARE_TOLD)
    return lying_figures(lines, share_axis("share of the contaminations", SHARE_ONLY), words)


_FEW_ARE_TOLD = "A clinic where people tell counts more of them: a rise may be a good sign."


def _count(m: Material, kind: str) -> str:
    row = m.figures.estimate(m.year, "contaminations_count", "contamination_kind", kind)
    return whole_text(row["value"] or 0) if row else "0"
