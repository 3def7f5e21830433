"""The rate by time since the latest training, each band against the rate of all patients."""

from __future__ import annotations

from collections.abc import Sequence

from reports.charts.chart import Chart, Lead, Row, nowhere
from reports.charts.lying_layout import NARROW_SHEET, WIDE_SHEET, drawn
from reports.charts.rate_figure import points, rate_layout
from reports.charts.rate_lines import rate_axis, rate_line
from reports.charts.rate_table import COLUMNS, is_drawn, rate_cells, shown_rate, spoken_rate
from reports.charts.scale import roof
from reports.rate_report.findings import bands_headline
from reports.rate_report.names import band_text
from reports.rate_report.number_text import rate_text

BANDS = ("0-90", "91-181", "182-364", "365-729", "730+", "none_recorded")
STEP, LEAST, MOST = 0.4, 1.6, 1.6
_NOTE = (
    "Days since the latest training of any kind, on each day at risk. "
    "Open and dotted: under 5 patient-years, too little time at risk to say."
)


def training_clock(
    bands: Sequence[Row], whole: Row | None, title: str | None = None, lead: Lead = nowhere
) -> Chart:
    """`bands`: rows of one period split by time_since_training; `whole`: its undivided row."""
    rows = sorted((row for row in bands if is_drawn(row)), key=lambda row: BANDS.index(row["band"]))
    headline = title or bands_headline(rows, whole)  # also of a year with nobody at risk
    whole = whole if whole is not None and is_drawn(whole) else None
    axis, summary = rate_axis(roof(rows, STEP, LEAST, MOST), whole), _summary(rows, whole)
    lines = [rate_line(row, lead) for row in rows]
    return Chart(
        name="training_clock",
        title=headline,
        summary=summary,
        note=_NOTE,
        columns=("Time since training", *COLUMNS),
        rows=tuple((name, *rate_cells(row)) for name, row in _named(rows, whole)),
        shown_rows=tuple((name, *shown_rate(row)) for name, row in _named(rows, whole)),
        svg=drawn(lines, axis, WIDE_SHEET, summary),
        svg_narrow=drawn(lines, axis, NARROW_SHEET, summary),
        figure=_figure(rows, whole),
        leads=tuple(lead(row) for _, row in _named(rows, whole)),
    )


def _named(rows: Sequence[Row], whole: Row | None) -> list[tuple[str, Row]]:
    """Bands and, under them, all patients."""
    held = [(band_text(row["split"], row["band"]), row) for row in rows]
    return held + ([("All patients", whole)] if whole else [])


def _summary(rows: Sequence[Row], whole: Row | None) -> str:
    if not rows:
        return "Nobody was at risk."
    spoken = " ".join(spoken_rate(name, row) for name, row in _named(rows, whole))
    return f"Rate per patient-year by time since training. {spoken}"


def _figure(rows: Sequence[Row], whole: Row | None) -> dict[str, object]:
    names = [band_text(row["split"], row["band"]) for row in rows]
    layout = rate_layout("xaxis")
    layout["yaxis"] = {"autorange": "reversed"}
    if whole:
        value = whole["value"]
        layout["shapes"] = [
            {"type": "line", "x0": value, "x1": value, "y0": 0, "y1": 1, "yref": "paper",
             "name": f"all patients {rate_text(value)}", "line": {"dash": "dash"}},
        ]  # fmt: skip
    return {"data": [points("Bands", "x", names, rows)], "layout": layout}
