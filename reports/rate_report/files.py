"""The files of a report: their names, made by us, and their bytes."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from dataclasses import dataclass

from reports.rate_report.as_json import document
from reports.rate_report.material import NOT_SIGNED, report_periods, state_text
from reports.rate_report.part import Report
from reports.rate_report.period_text import path_text
from reports.rate_report.report import rate_report
from reports.rate_report.schema import package, table_path
from reports.rate_report.tables import Cells, Recipient, TextTable, file_table, joined
from reports.writers.csv import RFC_4180, csv_bytes
from reports.writers.json import json_bytes
from surveillance.models import Snapshot

RATE_REPORT, OUTSIDE_REPORT = "rate-report", "outside-report"


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
    return _measures_csv(snapshot, what, period, TextTable(table.columns, rows))


def _measures_csv(snapshot: Snapshot, what: str, period: str, table: TextTable) -> ReportFile:
    marked = _marked(snapshot, table)
    content = csv_bytes(marked.columns, marked.rows)
    return ReportFile(file_name(snapshot, what, period, "csv"), content, len(table.rows))


_PLACE = ("clinic", "period_start", "period_end", "measure", "split", "band", "period")


def _canonical_place(row: Cells) -> tuple[str, ...]:
    return tuple(row[column] for column in _PLACE)


def rate_report_csv(snapshot: Snapshot, period: str, to: Recipient) -> ReportFile:
    """The measure rows of a period's report, in canonical order, as one CSV."""
    if not to.is_outside:
        held = report_periods(snapshot, period)
        return measure_rows_file(snapshot, RATE_REPORT, period, held, to)
    table = next(one for one in rate_report(snapshot, period, to).tables if one.name == "measures")
    rows = sorted(table.rows, key=_canonical_place)
    return _measures_csv(snapshot, OUTSIDE_REPORT, period, TextTable(table.columns, rows))


Writer = Callable[[Report], bytes]


def json_of(report: Report) -> bytes:
    return json_bytes(document(report))


def xlsx_of(report: Report) -> bytes:
    from reports.rate_report.workbook import workbook_bytes  # brings its writer only where asked

    return workbook_bytes(report)


def pdf_of(report: Report) -> bytes:
    from reports.rate_report.on_paper import report_pdf

    return report_pdf(report)


def zip_of(report: Report) -> bytes:
    """A bag with every other shape, each table as CSV, and the description of the tables."""
    from reports.writers.bag import bag_bytes

    name = _bag_name(report)
    files = {table_path(one): csv_bytes(one.columns, one.rows, RFC_4180) for one in report.tables}
    files |= {
        "report.json": json_of(report), "report.xlsx": xlsx_of(report),
        "report.pdf": pdf_of(report),
        "datapackage.json": json_bytes(package(report, name.lower())),
    }  # fmt: skip
    head = report.head
    info = {
        "External-Description": f"Rate report {head['clinic']} {head['period']}, {head['state']}",
        "External-Identifier": str(head["report_id"]),
        "Bagging-Date": str(head["frozen_at"] or head["as_of"])[:10],
    }
    return bag_bytes(name, files, info)


def _bag_name(report: Report) -> str:
    said = f"{report.head['clinic']}-{path_text(str(report.head['period']))}-rate-report"
    return re.sub(r"[^A-Za-z0-9]+", "-", said).strip("-")


_WRITERS: dict[str, Writer] = {"json": json_of, "xlsx": xlsx_of, "pdf": pdf_of, "zip": zip_of}


def rate_report_file(snapshot: Snapshot, period: str, ending: str, to: Recipient) -> ReportFile:
    """A period's report in one shape; page, API and command all come here."""
    if ending == "csv":
        return rate_report_csv(snapshot, period, to)
    report = rate_report(snapshot, period, to)
    name = file_name(snapshot, OUTSIDE_REPORT if to.is_outside else RATE_REPORT, period, ending)
    rows = sum(len(table.rows) for table in report.tables)
    return ReportFile(name, _WRITERS[ending](report), rows)


RATE_REPORT_FORMATS = ("csv", "json", "xlsx", "pdf", "zip")
