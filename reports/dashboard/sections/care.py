"""Care process: what was done in time, as far as it is recorded."""

from __future__ import annotations

from typing import Any

from reports.charts.chart import Chart
from reports.charts.lying_figures import Words, lying_figures
from reports.charts.share_lines import estimate_line, share_axis, share_line
from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection

Row = dict[str, Any]

_SHARES = {
    "sample_before_antibiotic_share": "Sample before antibiotic",
    "day_5_count_share": "Cell count from day 5 done",
    "training_overdue_share": "Reassessment overdue",
}


def section(m: Material) -> PageSection:
    return PageSection(
        "care", "Care process",
        "As recorded. What nobody wrote down is left out, and said.", (_chart(m),),
    )  # fmt: skip


def _chart(m: Material) -> Chart:
    found = [m.figures.estimate(m.year, name) for name in _SHARES]
    rows = [row for row in found if row and row["value"] is not None]
    lines = [
        estimate_line(row, _SHARES[row["name"]], "" if place else "Of those asked")
        for place, row in enumerate(rows)
    ]
    uncultured = m.figures.row(m.year, "not_cultured_share")
    if uncultured:
        lines.append(share_line(uncultured, "Not cultured, or not back", m.lead, "Cultures"))
    words = Words("care", _title(m), "Care process", _notes(rows))
    return lying_figures(lines, share_axis(), words)


def _title(m: Material) -> str:
    hours = m.figures.estimate(m.year, "presentation_to_antibiotic_hours_median")
    if hours is None or hours["value"] is None:
        return "From presentation to the first antibiotic: no times are recorded."
    left_out = f" ({hours['note']})" if hours["note"] else ""
    return f"Half had the first antibiotic within {hours['value']:.1f} hours of coming{left_out}."


def _notes(rows: list[Row]) -> str:
    told = [f"{_SHARES[row['name']].lower()}: {row['note']}" for row in rows if row["note"]]
    return f"{'; '.join(told).capitalize()}." if told else "Nothing is left out as unknown."
