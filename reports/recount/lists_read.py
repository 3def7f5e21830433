"""The case and ledger rows behind a figure, as this reader may see them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.rate_report.dissents import dissents, dissents_for
from reports.rate_report.period_text import quarter_of, rolling_year
from reports.rate_report.pseudonyms import pseudonymised_cases, pseudonymised_ledger
from reports.rate_report.tables import Cells, Recipient, TextTable, stored_table, text_table
from surveillance.models import Snapshot
from surveillance.snapshots import periods

Row = dict[str, Any]


@dataclass(frozen=True)
class Lists:
    """What stands behind a figure; `earlier` are case rows that a relapse may point to."""

    cases: list[Cells]
    ledger: list[Cells]
    earlier: list[Cells]
    said: list[Cells]  # dissents from their categories


def _stored(snapshot: Snapshot, name: str, period: str) -> TextTable:
    """Months have no list of their own: theirs is cut from the whole."""
    if snapshot.tables.filter(table=name, period=period).exists():
        return stored_table(snapshot, name, period)
    from surveillance.export import bodies, header_of  # brings pandas, which few requests need

    return text_table(header_of(name) + "".join(bodies(snapshot, name, period)))


def identified_lists(snapshot: Snapshot, row: Row) -> Lists:
    """With record numbers and days, for the clinic's own people."""
    earlier = stored_table(snapshot, "cases").rows
    cases, ledger = (_stored(snapshot, name, row["period"]).rows for name in ("cases", "ledger"))
    return Lists(cases, ledger, earlier, dissents(snapshot, row["period"]).rows)


def pseudonymised_lists(snapshot: Snapshot, row: Row, to: Recipient) -> Lists:
    """With pseudonyms and months; nothing from before the rolling year of the report."""
    cases, ledger = (_stored(snapshot, name, row["period"]) for name in ("cases", "ledger"))
    year = _stored(snapshot, "cases", _report_year(snapshot, row["period"]))
    return Lists(
        pseudonymised_cases(cases.columns, cases.rows, to.key)[1],
        pseudonymised_ledger(ledger.columns, ledger.rows, to.key)[1],
        pseudonymised_cases(year.columns, year.rows, to.key)[1],
        dissents_for(snapshot, row["period"], to).rows,
    )


def _report_year(snapshot: Snapshot, period: str) -> str:
    """The rolling year that a report shows, or the period itself while four are not complete."""
    year = rolling_year(quarter_of(period))
    return year if year in periods(snapshot) else period
