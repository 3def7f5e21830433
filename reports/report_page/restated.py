"""A restatement in words: each figure as first published and now, why, and by how much."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from reports.addresses import recount_address
from reports.rate_report.names import MEASURES
from reports.rate_report.number_text import whole_text
from reports.rate_report.period_text import period_text
from reports.rate_report.value_text import value_text
from surveillance.models import Snapshot
from surveillance.snapshots import amended_by_signer, causes_text, restated

Row = Mapping[str, Any]


@dataclass(frozen=True)
class RestatedFigure:
    """One figure in both vintages; each leads to its Recount where that may be opened."""

    name: str
    before: str
    before_address: str
    now: str
    now_address: str
    difference: str


@dataclass(frozen=True)
class RestatedPage:
    version: int | None
    before: Snapshot
    causes: str
    reason: str
    rows: list[RestatedFigure]


def _said(row: Row | None) -> str:
    if row is None:
        return "not stored"
    full = {"interval": "", "split": "", "band": ""} | dict(row)
    counts = f"{whole_text(row['numerator'])} of {whole_text(row['denominator'])}"
    return f"{value_text(full)} ({counts})" if row["denominator"] else value_text(full)


def _difference(before: Row | None, now: Row | None) -> str:
    """By how much each of both parts moved."""
    if before is None or now is None:
        return "only in one version"
    moved = [now[name] - before[name] for name in ("numerator", "denominator")]
    unit = {"patient_days": "days"}.get(str(now["denominator_unit"]), str(now["denominator_unit"]))
    names = ("counted", unit)
    told = [f"{step:+,d} {name}" for step, name in zip(moved, names, strict=True) if step]
    return ", ".join(told).replace("-", "−")


def restated_page(snapshot: Snapshot, opens_recount: bool) -> RestatedPage | None:
    found = restated(snapshot)
    if found is None:
        return None

    def lead(version: Snapshot, row: Row | None) -> str:
        filled = {**row, "split": "", "band": ""} if row else None
        return recount_address(version, filled) if filled and opens_recount else ""

    rows = [
        RestatedFigure(
            f"{MEASURES[one.measure].title}, {period_text(one.period)}",
            _said(one.before), lead(found.before, one.before),
            _said(one.after), lead(snapshot, one.after), _difference(one.before, one.after),
        )
        for one in found.changes
    ]  # fmt: skip
    causes = causes_text(found.causes)
    return RestatedPage(found.before.version, found.before, causes, found.reason, rows)


def superseded_by(snapshot: Snapshot) -> Snapshot | None:
    """The signed version that stands in its place now."""
    if snapshot.state != "superseded":
        return None
    later = Snapshot.objects.filter(clinic=snapshot.clinic, through=snapshot.through)
    return later.filter(state="signed").select_related("clinic").first()


def signer_text(snapshot: Snapshot) -> str:
    told = amended_by_signer(snapshot)
    if told is None:
        return ""
    amended, total = told
    if not amended:
        return f"The signer wrote or amended none of the quarter’s {total} episodes."
    return f"The signer wrote or amended {amended} of the quarter’s {total} episodes."
