"""Outcomes: what became of the episodes, with their denominators and what is not known."""

from __future__ import annotations

from typing import Any

from reports.charts.chart import Chart
from reports.charts.lying_figures import Words, lying_figures
from reports.charts.share_lines import share_axis, share_line
from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection
from reports.rate_report.names import MEASURES
from reports.rate_report.number_text import counted_text, percent_text

Row = dict[str, Any]

_GROUPS = {
    "Of those followed up": (
        "medical_cure_share", "refractory_share", "catheter_removal_share",
        "haemodialysis_transfer_share", "admission_share", "death_share",
    ),
    "Of all confirmed": ("relapsing_share", "recurrent_share", "repeat_share"),
    "Of the catheters put in": ("insertion_related_share",),
}  # fmt: skip


def section(m: Material) -> PageSection:
    return PageSection(
        "outcomes", "Outcomes",
        "Shares of confirmed peritonitis in the year, exact range, 95 %. "
        "An unknown answer counts as no, and is said.",
        (_chart(m),),
    )  # fmt: skip


def _chart(m: Material) -> Chart:
    lines = []
    for group, measures in _GROUPS.items():
        rows = [row for one in measures if (row := m.figures.row(m.year, one))]
        lines += [
            share_line(row, _name(m, row), m.lead, "" if place else group)
            for place, row in enumerate(rows)
        ]
    cure = m.figures.row(m.year, "medical_cure_share")
    words = Words("outcomes", _title(cure), "Outcomes", _unknown(m))
    return lying_figures(lines, share_axis("share of the episodes or catheters"), words)


def _name(m: Material, row: Row) -> str:
    return MEASURES[row["measure"]].title


def _title(cure: Row | None) -> str:
    if cure is None or not cure["denominator"]:
        return "No episode has been followed up to its outcome yet."
    low, high = (percent_text(cure[limit]) for limit in ("lower", "upper"))
    many = counted_text(cure["denominator"], "episode", "episodes")
    return (
        f"{cure['numerator']} of {many} followed up were cured by treatment alone: "
        f"{percent_text(cure['value'])}, range {low.removesuffix(' %')} to {high}."
    )


def _unknown(m: Material) -> str:
    told = [
        f"{MEASURES[measure].title.lower()} {row['value']:.0f}"
        for measures in _GROUPS.values() for measure in measures
        if (row := m.figures.estimate(m.year, f"{measure}_unknown_count")) and row["value"]
    ]  # fmt: skip
    missing = f"Not known: {', '.join(told)}." if told else "No answer is missing."
    return f"{missing} A dashed tick is a target."
