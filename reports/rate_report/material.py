"""What every part of a report is made of: one version's stored rows, for one recipient."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import groupby

from reports.rate_report.figures import Figures
from reports.rate_report.period_text import is_quarter, quarter_of, rolling_year
from reports.rate_report.tables import (
    Cells,
    Recipient,
    TextTable,
    stored_table,
    text_table,
    without_trainers,
)
from surveillance.models import Snapshot
from surveillance.periods import parse_period, quarter_holding
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


@dataclass(frozen=True)
class Material:
    """A snapshot, the period that was asked for, and whom the report is made for."""

    snapshot: Snapshot
    period: str
    to: Recipient

    @cached_property
    def held(self) -> list[str]:
        """The periods that the report holds, the longest first."""
        return report_periods(self.snapshot, self.period)

    @cached_property
    def figures(self) -> Figures:
        """Stored rows; without history only those of the periods held."""
        shows_all = self.to.sees_history and not self.to.is_outside
        return Figures(self.snapshot, lambda one: shows_all or one in self.held)

    @property
    def quarter(self) -> str:
        """The quarter that the figures over time run to."""
        if is_quarter(quarter_of(self.period)):
            return quarter_of(self.period)
        return quarter_holding(parse_period(self.period).last_day).text

    def stored(self, table: str, period: str = "") -> TextTable:
        return stored_table(self.snapshot, table, period)

    def has(self, table: str, period: str = "") -> bool:
        """Versions made before a table was invented do not hold it; months have no lists."""
        return self.snapshot.tables.filter(table=table, period=period).exists()

    def measures(self, period: str) -> TextTable:
        found = self.stored("measures", period)
        return found if self.to.sees_trainers else without_trainers(found)

    @cached_property
    def pd_began(self) -> dict[str, str]:
        """The first day on PD by record number, from the whole ledger: the clock of the lists."""
        rows = [row for row in self.stored("ledger").rows if row["reason"] != "before_pd"]
        ordered = sorted(rows, key=lambda row: (row["patient"], row["started_on"]))
        by_patient = groupby(ordered, key=lambda row: row["patient"])
        return {patient: next(own)["started_on"] for patient, own in by_patient}

    def lists(self, table: str, period: str) -> list[Cells]:
        """Case or ledger rows of a period; a month has no list of its own, so it is cut."""
        if self.has(table, period):
            return self.stored(table, period).rows
        from surveillance.export import bodies, header_of  # brings pandas, which few need

        return text_table(header_of(table) + "".join(bodies(self.snapshot, table, period))).rows

    @cached_property
    def entries(self) -> dict[tuple[str, str, str], Cells]:
        """Who found each episode, when it was entered and last changed, by patient, kind, name."""
        if not self.has("entries"):
            return {}
        rows = self.stored("entries").rows
        return {(row["patient"], row["kind"], row["episode"]): row for row in rows}

    def entry(self, case: Cells) -> Cells:
        """The entry behind a case row, as the lists show it."""
        kind = "peritonitis" if case["kind"] == "peritonitis" else "catheter_infection"
        row = self.entries.get((case["patient"], kind, case["episode"]), {})
        return {
            "source": row.get("found_by", ""),
            "entered_after_days": _days_between(case["onset_on"], row.get("entered_on", "")),
            "last_changed_month": row.get("last_changed_on", "")[:7],
        }


def _days_between(first: str, last: str) -> str:
    """Whole days, or nothing where a day is not known."""
    if not first or not last:
        return ""
    return str((date.fromisoformat(last) - date.fromisoformat(first)).days)
