"""Two vintages of one figure side by side: as first signed, and as this version has it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reports.rate_report.material import Material
from reports.rate_report.names import RATE
from reports.rate_report.number_text import counted_text
from reports.rate_report.tables import stored_table
from surveillance.models import Snapshot

Cells = dict[str, str]
Key = tuple[str, str, str]


@dataclass(frozen=True)
class Vintages:
    """One period's rate in the version first signed and in this one, with both case lists."""

    period: str
    first: Snapshot
    later: Snapshot
    then: Cells | None
    now: Cells | None
    restates: bool  # this version is of the same quarter as the one first signed


def published_before(m: Material) -> Iterator[Vintages]:
    """Each period that an earlier version was signed for, as far as this recipient may know it.

    Versions signed later than this one was made are left out, so that the same version always
    gives the same table.
    """
    for first in _first_signed(m):
        for period in (first.through, f"{first.through}/4q"):
            is_known = period in m.held or (m.to.sees_history and not m.to.is_outside)
            if is_known and _has(first, period) and _has(m.snapshot, period):
                yield Vintages(
                    period, first, m.snapshot, _rate(first, period), _rate(m.snapshot, period),
                    first.through == m.snapshot.through,
                )  # fmt: skip


def _first_signed(m: Material) -> list[Snapshot]:
    """The first signed version of each quarter, newest quarter first; not this version itself."""
    signed = Snapshot.objects.filter(
        clinic=m.snapshot.clinic, signed_at__lt=m.snapshot.made_at, version=1,
        through__lte=m.quarter, rule_set=m.snapshot.rule_set,
    ).exclude(pk=m.snapshot.pk)  # fmt: skip
    return list(signed.order_by("-through"))


def _has(snapshot: Snapshot, period: str) -> bool:
    return snapshot.tables.filter(table="measures", period=period).exists()


def _rate(snapshot: Snapshot, period: str) -> Cells | None:
    rows = stored_table(snapshot, "measures", period).rows
    return next((row for row in rows if row["measure"] == RATE and not row["split"]), None)


def causes(both: Vintages) -> list[str]:
    """What moved the figure: late, withdrawn, reclassified or moved episodes, days, definitions."""
    then, now = _cases(both.first, both.period), _cases(both.later, both.period)
    late = [key for key in now.keys() - then.keys() if now[key]["counts"] == "yes"]
    gone = [key for key in then.keys() - now.keys() if then[key]["counts"] == "yes"]
    classed = [key for key in now.keys() & then.keys() if now[key]["counts"] != then[key]["counts"]]
    days = _days(both.now) - _days(both.then)
    said = [
        (len(late), "counted episode came late", "counted episodes came late"),
        (len(gone), "counted episode left", "counted episodes left"),
        (len(classed), "episode reclassified", "episodes reclassified"),
    ]  # fmt: skip
    found = [counted_text(many, one, more) for many, one, more in said if many]
    if days:
        found.append(f"days at risk {days:+,d}")
    if _rule_set(both.then) != _rule_set(both.now):
        found.append("definitions differ")
    return found


def _cases(snapshot: Snapshot, period: str) -> dict[Key, Cells]:
    rows = stored_table(snapshot, "cases", period).rows
    return {
        (row["patient"], row["episode"], row["kind"]): row for row in rows
        if row["kind"] == "peritonitis"
    }  # fmt: skip


def _days(row: Cells | None) -> int:
    return int(row["denominator"]) if row else 0


def _rule_set(row: Cells | None) -> str:
    return row["rule_set"] if row else ""
