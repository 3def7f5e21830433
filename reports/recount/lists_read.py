"""The case and ledger rows behind a figure, as this reader may see them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.rate_report.period_text import quarter_of, rolling_year
from reports.rate_report.pseudonyms import pseudonymised_cases, pseudonymised_ledger
from reports.rate_report.tables import Cells, Recipient, TextTable, stored_table
from reports.recount.ledger import clipped
from surveillance.models import Snapshot

Row = dict[str, Any]


@dataclass(frozen=True)
class Lists:
    """What stands behind a figure; `earlier` are case rows that a relapse may point to."""

    cases: list[Cells]
    ledger: list[Cells]
    earlier: list[Cells]


def _stored(snapshot: Snapshot, name: str, period: str) -> TextTable | None:
    held = snapshot.tables.filter(table=name, period=period).exists()
    return stored_table(snapshot, name, period) if held else None


def _cases(snapshot: Snapshot, row: Row) -> TextTable:
    """Months have no list of their own: theirs is cut from the whole."""
    stored = _stored(snapshot, "cases", row["period"])
    if stored is not None:
        return stored
    whole = stored_table(snapshot, "cases")
    first, last = row["period_start"], row["period_end"]
    return TextTable(whole.columns, [r for r in whole.rows if first <= r["onset_on"] <= last])


def _ledger(snapshot: Snapshot, row: Row) -> TextTable:
    stored = _stored(snapshot, "ledger", row["period"])
    if stored is not None:
        return stored
    whole = stored_table(snapshot, "ledger")
    return TextTable(whole.columns, clipped(whole.rows, row["period"]))


def identified_lists(snapshot: Snapshot, row: Row) -> Lists:
    """With record numbers and days, for the clinic's own people."""
    earlier = stored_table(snapshot, "cases").rows
    return Lists(_cases(snapshot, row).rows, _ledger(snapshot, row).rows, earlier)


def pseudonymised_lists(snapshot: Snapshot, row: Row, to: Recipient) -> Lists:
    """With pseudonyms and months; nothing from before the rolling year of the report."""
    cases, ledger = _cases(snapshot, row), _ledger(snapshot, row)
    year = _stored(snapshot, "cases", rolling_year(quarter_of(row["period"]))) or cases
    return Lists(
        pseudonymised_cases(cases.columns, cases.rows, to.key)[1],
        pseudonymised_ledger(ledger.columns, ledger.rows, to.key)[1],
        pseudonymised_cases(year.columns, year.rows, to.key)[1],
    )
