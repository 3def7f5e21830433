"""What every section of Quarter is made of: one version's stored rows, and where each leads."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from reports.addresses import recount_address
from reports.charts.flags import Flag
from reports.rate_report.figures import Figures
from reports.rate_report.period_text import rolling_year
from reports.rate_report.sentences import year_before
from reports.rate_report.tables import Cells, stored_table
from surveillance.models import Snapshot
from surveillance.periods import parse_period

Row = dict[str, Any]
FlagsOf = Callable[[str], Sequence[Flag]]


@dataclass(frozen=True)
class Sight:
    """What one kind of reader may see of a clinic; equal sights see the same page."""

    opens_recount: bool
    sees_days: bool  # the day of an onset; without it the month
    sees_trainers: bool
    sees_repeat_patients: bool
    sees_signals: bool
    is_inside: bool  # the clinic's own people: drafts, Today
    may_decide: bool
    sees_network: bool = False


# Measures with a chart over time, on which decisions stand.
FLAGGED = (
    "peritonitis_rate", "exit_site_infection_rate", "tunnel_infection_rate",
    "culture_negative_share",
)  # fmt: skip


@dataclass(frozen=True)
class Material:
    """One version, one quarter, one kind of reader."""

    figures: Figures
    quarter: str
    sight: Sight
    flags: FlagsOf = lambda measure: ()

    @property
    def snapshot(self) -> Snapshot:
        return self.figures.snapshot

    @property
    def year(self) -> str:
        return rolling_year(self.quarter)

    @property
    def year_before(self) -> str:
        return year_before(self.year)

    def lead(self, row: Row) -> str:
        """A figure's Recount, for whoever may open it."""
        return recount_address(self.snapshot, row) if self.sight.opens_recount else ""

    @property
    def has_signals(self) -> bool:
        """Versions stored before there were signals have none."""
        return self.sight.sees_signals and bool(self.figures.signals())

    def alarms(self, rule: str = "") -> list[Row]:
        """Alarms whose window ends in the year (of one rule), in time order."""
        if not self.has_signals:
            return []
        from surveillance.signals.alarm import is_alarm

        period = parse_period(self.year)
        first, last = period.start.isoformat(), period.last_day.isoformat()
        found = [
            row for row in self.figures.signals()
            if first <= row["window_end"] <= last and is_alarm(row)
            and (not rule or row["rule"] == rule)
        ]  # fmt: skip
        return sorted(found, key=lambda row: row["window_end"])

    def alarms_of_quarter(self) -> list[Row]:
        """Those that still ask for a decision, the latest first."""
        first = parse_period(self.quarter).start.isoformat()
        return [row for row in reversed(self.alarms()) if row["window_end"] >= first]

    def cases(self, period: str) -> list[Cells]:
        """The stored case rows of a period that the reader may see."""
        known = period in self.figures.periods
        return stored_table(self.snapshot, "cases", period).rows if known else []
