"""What named persons hold of a category, as this reader may have it; no figure comes of it."""

from __future__ import annotations

from reports.rate_report.period_text import iso_day_text, month_text
from reports.rate_report.pseudonyms import pseudonymised_dissents
from reports.rate_report.tables import Cells, Recipient, TextTable, stored_table
from surveillance.models import Snapshot
from surveillance.periods import parse_period
from surveillance.words import sequence_text

_NONE = TextTable((), [])


def dissents(snapshot: Snapshot, period: str = "") -> TextTable:
    """The rows with onset in the period, or all; a version older than this table has none."""
    if not snapshot.tables.filter(table="dissents", rows__gt=0).exists():
        return _NONE
    table = stored_table(snapshot, "dissents")
    if not period:
        return table
    span = parse_period(period)
    first, last = span.start.isoformat(), span.last_day.isoformat()
    return TextTable(table.columns, [r for r in table.rows if first <= r["onset_on"] <= last])


def dissents_for(snapshot: Snapshot, period: str, to: Recipient) -> TextTable:
    """The same without names, days and free text."""
    return TextTable(*pseudonymised_dissents(dissents(snapshot, period).rows, to.key))


def said_text(row: Cells) -> str:
    """The derived category and the other one, side by side, and who holds it."""
    who = row.get("by", "a director of the clinic")
    held = f"{who} holds it for {sequence_text(row['dissent'])}"
    why = f": “{row['reason']}”" if "reason" in row else ""
    return f"derived {derived_text(row)}; {held}{why}"


def derived_text(row: Cells) -> str:
    return sequence_text(row["sequence"]) if row["sequence"] else "none, not confirmed"


def onset_text(row: Cells) -> str:
    return iso_day_text(row["onset_on"]) if "onset_on" in row else month_text(row["onset_month"])
