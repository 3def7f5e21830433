"""The files of a report: their names, made by us, and their bytes."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from dataclasses import dataclass

from reports.rate_report.documents import (
    NOT_SIGNED,
    rate_report_document,
    report_periods,
    state_text,
)
from reports.rate_report.period_text import path_text
from reports.rate_report.tables import Cells, Recipient, TextTable, file_table, joined
from reports.writers.csv import csv_bytes
from reports.writers.json import json_bytes
from surveillance.models import Snapshot

RATE_REPORT = "rate-report"


@dataclass(frozen=True)
class ReportFile:
    """One file ready to be sent or written."""

    name: str
    content: bytes
    rows: int

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.content).hexdigest()


def _version_text(snapshot: Snapshot) -> str:
    return f"v{snapshot.version}" if snapshot.version else f"draft-{str(snapshot.uid)[:8]}"


def file_name(snapshot: Snapshot, what: str, period: str, ending: str) -> str:
    """Clinic code, period, version, content; nothing that anybody typed passes unchanged."""
    code = re.sub(r"[^A-Za-z0-9]+", "-", snapshot.clinic.code).strip("-") or "clinic"
    return f"{code}-{path_text(period)}-{_version_text(snapshot)}-{what}.{ending}"


def _marked(snapshot: Snapshot, table: TextTable) -> TextTable:
    """An unsigned table says so in every row, since rows get copied out of files."""
    if state_text(snapshot) != NOT_SIGNED:
        return table
    rows = [row | {"state_of_report": NOT_SIGNED} for row in table.rows]
    return TextTable((*table.columns, "state_of_report"), rows)


def table_file(snapshot: Snapshot, what: str, period: str, to: Recipient) -> ReportFile:
    """One table of one period as CSV."""
    table = _marked(snapshot, file_table(snapshot, what, period, to))
    content = csv_bytes(table.columns, table.rows)
    return ReportFile(file_name(snapshot, what, period, "csv"), content, len(table.rows))


def measure_rows_file(
    snapshot: Snapshot,
    what: str,
    period: str,
    held: list[str],
    to: Recipient,
    wanted: Callable[[Cells], bool] = lambda row: True,
) -> ReportFile:
    """Measure rows of several periods in one CSV, in canonical order."""
    table = joined([file_table(snapshot, "measures", one, to) for one in held])
    rows = sorted(filter(wanted, table.rows), key=_canonical_place)
    marked = _marked(snapshot, TextTable(table.columns, rows))
    content = csv_bytes(marked.columns, marked.rows)
    return ReportFile(file_name(snapshot, what, period, "csv"), content, len(rows))


_PLACE = ("clinic", "period_start", "period_end", "measure", "split", "band", "period")


def _canonical_place(row: Cells) -> tuple[str, ...]:
    return tuple(row[column] for column in _PLACE)


def rate_report_csv(snapshot: Snapshot, period: str, to: Recipient) -> ReportFile:
    """The measure rows of a period's report, in canonical order, as one CSV."""
    return measure_rows_file(snapshot, RATE_REPORT, period, report_periods(snapshot, period), to)


def rate_report_json(snapshot: Snapshot, period: str, to: Recipient) -> ReportFile:
    """The whole report of a period as one JSON document."""
    document = rate_report_document(snapshot, period, to)
    rows = sum(len(table) for tables in document["periods"].values() for table in tables.values())
    name = file_name(snapshot, RATE_REPORT, period, "json")
    return ReportFile(name, json_bytes(document), rows)


RATE_REPORT_FORMATS = {"csv": rate_report_csv, "json": rate_report_json}
