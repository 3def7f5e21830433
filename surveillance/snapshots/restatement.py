"""What changed since a quarter was signed: cause, size, and both vintages side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from clinic.actions.audit import event_about
from surveillance.models import Snapshot
from surveillance.snapshots.read import periods, undivided_rows

Row = Mapping[str, Any]

# access.csv, quarter.prepare_restatement: the cause of each change.
CAUSES = {
    "late_episode": "an episode entered late",
    "reclassified": "an episode classed anew",
    "days": "days at risk put right",
    "definition": "another definition",
    "error": "an error of ours",
}


@dataclass(frozen=True)
class Change:
    """One undivided figure in both vintages; a row that one of them lacks is None."""

    period: str
    measure: str
    before: Row | None
    after: Row | None


@dataclass(frozen=True)
class Restatement:
    """A version that takes the place of a signed one."""

    before: Snapshot
    causes: tuple[str, ...]
    reason: str
    changes: list[Change]


def quarter_periods(snapshot: Snapshot, quarter: str) -> list[str]:
    """The quarter and the rolling year to it, as far as they are stored."""
    held = set(periods(snapshot))
    return [period for period in (f"{quarter}/4q", quarter) if period in held]


_COUNTS = ("numerator", "denominator")


def _counts(row: Row | None) -> tuple[Any, ...] | None:
    return None if row is None else tuple(row[name] for name in _COUNTS)


def changed_figures(before: Snapshot, after: Snapshot, quarter: str) -> list[Change]:
    """The undivided figures whose counts differ between two versions of a quarter."""
    found = []
    wanted = dict.fromkeys([*quarter_periods(before, quarter), *quarter_periods(after, quarter)])
    for period in wanted:
        old, new = (
            undivided_rows(one, period) if period in quarter_periods(one, quarter) else {}
            for one in (before, after)
        )
        for measure in sorted(old.keys() | new.keys()):
            pair = old.get(measure), new.get(measure)
            if _counts(pair[0]) != _counts(pair[1]):
                found.append(Change(period, measure, *pair))
    return found


def is_same_record(one: Snapshot, other: Snapshot, quarter: str) -> bool:
    """Whether episodes and days of the quarter are the same bytes: then nothing is to restate."""
    tables = [
        set(
            snapshot.tables.filter(
                table__in=("cases", "days"), period__in=(quarter, f"{quarter}/4q")
            ).values_list("table", "period", "sha256")
        )
        for snapshot in (one, other)
    ]
    return tables[0] == tables[1]


def is_restatement_due(signed: Snapshot, newest: Snapshot | None) -> bool:
    """A later draft gives other counts for the quarter than its signed version."""
    if newest is None or signed.state != "signed" or newest.made_at <= signed.made_at:
        return False
    if signed.through not in periods(newest) or is_same_record(signed, newest, signed.through):
        return False
    return bool(changed_figures(signed, newest, signed.through))


def restated(snapshot: Snapshot) -> Restatement | None:
    """What a version put in the place of the signed one before it; None of a first version."""
    earlier = Snapshot.objects.filter(
        clinic=snapshot.clinic, through=snapshot.through, signed_at__isnull=False,
        pk__lt=snapshot.pk,
    )  # fmt: skip
    before = earlier.select_related("clinic").order_by("-version").first()
    if before is None or snapshot.state == "draft":
        return None
    changes = changed_figures(before, snapshot, snapshot.through)
    return Restatement(before, causes_of(snapshot), snapshot.prepared_reason, changes)


def causes_of(snapshot: Snapshot) -> tuple[str, ...]:
    event = event_about("prepare", snapshot.uid)
    return tuple(event.changes.get("causes", ())) if event else ()


def amended_by_signer(snapshot: Snapshot) -> tuple[int, int] | None:
    """How many of the quarter's episodes the signer wrote or amended, as told at signing."""
    event = event_about("sign", snapshot.uid)
    told = event.changes.get("signer_amended") if event else None
    return (told[0], told[1]) if told else None


def unknown_causes(causes: Iterable[str]) -> list[str]:
    return [cause for cause in causes if cause not in CAUSES]


def causes_text(causes: Sequence[str]) -> str:
    return ", ".join(CAUSES.get(cause, cause) for cause in causes)
