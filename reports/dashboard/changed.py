"""Whether the record has moved on since a version was frozen, told from stored rows."""

from __future__ import annotations

from reports.rate_report.period_text import rolling_year
from reports.rate_report.tables import stored_table
from reports.versions import newest_draft
from surveillance.models import Snapshot
from surveillance.snapshots import periods


def _same_figures(one: Snapshot, other: Snapshot, period: str) -> bool:
    """Equal in everything but the day as of which they were known."""
    rows = [stored_table(version, "measures", period).rows for version in (one, other)]
    for table in rows:
        for row in table:
            del row["as_of"]
    return rows[0] == rows[1]


def later_draft(snapshot: Snapshot, quarter: str) -> Snapshot | None:
    """A later draft that gives other figures for this quarter or its rolling year, if any."""
    draft = newest_draft(snapshot.clinic, quarter)
    if snapshot.state == "draft" or draft is None or draft.made_at <= snapshot.made_at:
        return None
    held = set(periods(snapshot)) & set(periods(draft))
    both = [period for period in (quarter, rolling_year(quarter)) if period in held]
    is_same = all(_same_figures(snapshot, draft, period) for period in both)
    return None if is_same else draft
