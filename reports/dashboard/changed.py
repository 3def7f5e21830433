"""Whether the record has moved on since a version was frozen, told from stored rows."""

from __future__ import annotations

from surveillance.models import Snapshot
from surveillance.snapshots import changed_figures, is_same_record, newest_draft, periods


def later_draft(snapshot: Snapshot, quarter: str) -> Snapshot | None:
    """A later draft that gives other figures for this quarter or its rolling year, if any."""
    if snapshot.state == "draft":
        return None
    draft = newest_draft(snapshot.clinic, quarter)
    if draft is None or draft.made_at <= snapshot.made_at:
        return None
    if quarter not in periods(draft) or is_same_record(snapshot, draft, quarter):
        return None
    return draft if changed_figures(snapshot, draft, quarter) else None
