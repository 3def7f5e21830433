"""The rate report as one document: what it is, its rules, and every table of its periods."""

from __future__ import annotations

from typing import Any

from reports.rate_report.dissents import dissents_for
from reports.rate_report.period_text import is_quarter, path_text, rolling_year
from reports.rate_report.tables import TABLES, Recipient, file_table
from surveillance.models import Snapshot
from surveillance.snapshots import periods

SIGNED, NOT_SIGNED = "signed", "draft, not signed"


def state_text(snapshot: Snapshot) -> str:
    """The state as a file says it; being superseded later does not change a signed file."""
    return SIGNED if snapshot.signed_at else NOT_SIGNED


def report_periods(snapshot: Snapshot, period: str) -> list[str]:
    """A quarter's report holds the quarter and its rolling year; any other period itself."""
    stored = periods(snapshot)
    wanted = [rolling_year(period), period] if is_quarter(period) else [period]
    return [one for one in wanted if one in stored]


def _head(snapshot: Snapshot, period: str, to: Recipient) -> dict[str, Any]:
    return {
        "clinic": snapshot.clinic.code,
        "period": period,
        "state": state_text(snapshot),
        "version": snapshot.version,
        "snapshot": str(snapshot.uid),
        "snapshot_digest": snapshot.digest,
        "rule_set": snapshot.rule_set,
        "as_of": snapshot.as_of.isoformat(),
        "data_version": snapshot.data_version,
        "software_version": snapshot.software_version,
        "made_at": snapshot.made_at.isoformat(),
        "signed_at": snapshot.signed_at.isoformat() if snapshot.signed_at else None,
        "patients": "pseudonyms of this recipient; onset and stretches of days to the month",
        "divided_by_trainer": to.sees_trainers,
    }


def _tables(snapshot: Snapshot, period: str, to: Recipient) -> dict[str, list[dict[str, Any]]]:
    lists = {name: typed_rows(file_table(snapshot, name, period, to).rows) for name in TABLES}
    return lists | {"dissents": typed_rows(dissents_for(snapshot, period, to).rows)}


def typed_rows(rows: list[dict[str, str]]) -> list[dict[str, Any]]:
    """Rows of text cells with their numbers as numbers; an empty cell of a number is null."""
    return [{name: _value(name, cell) for name, cell in row.items()} for row in rows]


_WHOLE = ("numerator", "denominator", "days_at_risk", "catheter_days", "days", "gap_days")
_DECIMAL = ("value", "lower", "upper", "level", "target")


def _value(name: str, cell: str) -> int | float | str | None:
    if name in _WHOLE:
        return int(cell) if cell else None
    if name in _DECIMAL:
        return float(cell) if cell else None
    return cell


def rate_report_document(snapshot: Snapshot, period: str, to: Recipient) -> dict[str, Any]:
    """Everything of a period's report in one document; the same inputs give the same document."""
    held = report_periods(snapshot, period)
    return _head(snapshot, period, to) | {
        "periods": {path_text(one): _tables(snapshot, one, to) for one in held}
    }
