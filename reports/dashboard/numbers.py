"""The numbers behind a chart as a CSV: measure rows as they are stored, or its own."""

from __future__ import annotations

from django.http import HttpRequest

from clinic.roles import period_open
from reports.charts.chart import Cell
from reports.dashboard.choose import FROZEN
from reports.dashboard.one_chart import chart_of
from reports.rate_report.files import ReportFile, file_name, measure_rows_file
from reports.rate_report.names import CLOCKS, RATE
from reports.rate_report.period_text import is_quarter, rolling_year
from reports.rate_report.sentences import year_before
from reports.rate_report.tables import Recipient
from reports.readers import recipient_of
from reports.writers.csv import csv_bytes
from surveillance.models import Snapshot
from surveillance.snapshots import periods

ANSWERS = (
    RATE, "peritonitis_free_share", "exit_site_infection_rate", "tunnel_infection_rate",
    "culture_negative_share", "not_cultured_share",
)  # fmt: skip
# Charts whose file holds the measure rows as they are stored; any other gives its own numbers.
_STORED = {
    "answers": lambda row: row["measure"] in ANSWERS and not row["split"],
    "rate_over_time": lambda row: row["measure"] == RATE and not row["split"],
    "training_clock": lambda row: row["measure"] == RATE and row["split"] in CLOCKS,
    "organisms": lambda row: row["measure"] == RATE and row["split"] == "organism_group",
}


def _wanted_periods(snapshot: Snapshot, quarter: str, chart: str) -> list[str]:
    year = rolling_year(quarter)
    if chart == "rate_over_time":
        ended = [one for one in periods(snapshot) if one.removesuffix("/4q") <= quarter]
        return [one for one in ended if is_quarter(one) or one.endswith("/4q")]
    return [year] if chart == "training_clock" else [year_before(year), year]


def numbers_file(request: HttpRequest, snapshot: Snapshot, quarter: str, chart: str) -> ReportFile:
    """Only periods that this person may read; an auditor's older years are left out."""
    if chart in _STORED:
        return _measure_rows(request, snapshot, quarter, chart)
    found = chart_of(request, snapshot, quarter, chart)
    heads = found.row_columns or found.columns
    rows = [dict(zip(heads, map(_cell, row), strict=True)) for row in found.rows]
    name = file_name(snapshot, chart, quarter, "csv")
    return ReportFile(name, csv_bytes(heads, rows), len(rows))


def _cell(value: Cell) -> str:
    return "" if value is None else str(value)


def _measure_rows(request: HttpRequest, snapshot: Snapshot, quarter: str, chart: str) -> ReportFile:
    stored = periods(snapshot)
    wanted = [
        one for one in _wanted_periods(snapshot, quarter, chart)
        if one in stored and period_open(request.user, FROZEN, snapshot, one)
    ]  # fmt: skip
    to: Recipient = recipient_of(request.user, snapshot)
    return measure_rows_file(snapshot, chart, quarter, wanted, to, _STORED[chart])
