"""Which files a version offers for download, and what each holds."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from reports.rate_report.files import OUTSIDE_REPORT, RATE_REPORT
from reports.rate_report.material import report_periods
from reports.rate_report.period_text import path_text, period_text
from reports.rate_report.tables import TABLES
from surveillance.models import Snapshot

_HOLDS = {
    "measures": "every figure with numerator, denominator and range",
    "cases": "every episode, counted or not, and why",
    "days": "days at risk by band",
    "ledger": "days of each patient; sums to the days at risk",
}

_SHAPES = {
    "pdf": "the report to read and to print, in thirteen parts",
    "zip": "the report in every shape, with a manifest and table schemas: for the audit file",
    "xlsx": "every table, and a sheet that recounts each figure by live formulas",
    "json": "every table in one document",
    "csv": "the figures of the quarter and of its rolling year",
}


@dataclass(frozen=True)
class Offer:
    """One row of the table of files."""

    name: str
    holds: str
    links: list[tuple[str, str]]  # period in words, address


def _address(snapshot: Snapshot, what: str, period: str, ending: str) -> str:
    place = [snapshot.clinic.uid, snapshot.uid, what, path_text(period), ending]
    return reverse("report_file", args=place)


def offers(snapshot: Snapshot, quarter: str, full: bool, outside: bool) -> list[Offer]:
    """The report as a whole first, then its tables, then the report for readers outside."""
    offered = _full(snapshot, quarter) if full else []
    return offered + ([_outside(snapshot, quarter)] if outside else [])


def _outside(snapshot: Snapshot, quarter: str) -> Offer:
    """One row with every shape."""
    links = [
        (ending.upper(), _address(snapshot, OUTSIDE_REPORT, quarter, ending)) for ending in _SHAPES
    ]
    holds = "for boards and other clinics: no lists of patients, small counts hidden"
    return Offer("Outside report", holds, links)


def _full(snapshot: Snapshot, quarter: str) -> list[Offer]:
    held = report_periods(snapshot, quarter)
    whole = [
        Offer(f"Rate report, {ending.upper()}", says,
              [(period_text(quarter), _address(snapshot, RATE_REPORT, quarter, ending))])
        for ending, says in _SHAPES.items()
    ]  # fmt: skip
    return whole + [
        Offer(
            f"{name.capitalize()}, CSV", _HOLDS[name],
            [(period_text(one), _address(snapshot, name, one, "csv")) for one in reversed(held)],
        )
        for name in TABLES
    ]  # fmt: skip
