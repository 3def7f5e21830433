"""What became of a figure since a decision: the words that Today and Decisions show of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from clinic.decisions import Standing
from surveillance.before_after import (
    DAYS_PER_YEAR,
    BeforeAfter,
    Window,
    before_after,
    change_text,
    ratio_text,
)
from surveillance.models import Snapshot
from surveillance.snapshots import newest_draft, table_rows
from surveillance.words import day_text


@dataclass(frozen=True)
class Effect:
    """One sentence, and the rows of a small table: when, counted, over what, value, range."""

    sentence: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str


NOTHING = Effect("Before and after cannot be compared yet.", (), (), "")
_NOTE = (
    "As many days after the decision as before it, from the stored figures to {}. "
    "A change after a decision need not come of it."
)


def effects_of(clinic: Any) -> Callable[[Standing], Effect]:
    """What is said of each decision of a clinic; the stored rows are read once, when asked."""
    stored: list[tuple[Snapshot | None, list[Any], list[Any]]] = []

    def effect(one: Standing) -> Effect:
        if not stored:
            stored.append(_stored(clinic))
        return _effect(one, *stored[0])

    return effect


def _stored(clinic: Any) -> tuple[Snapshot | None, list[Any], list[Any]]:
    newest = newest_draft(clinic)
    if newest is None:
        return None, [], []
    return newest, table_rows(newest, "cases"), table_rows(newest, "ledger")


def _effect(one: Standing, newest: Snapshot | None, cases: list[Any], ledger: list[Any]) -> Effect:
    if newest is None:
        return NOTHING
    last = min([newest.as_of, *_last_day(one)])
    found = before_after(one.decision.measure, cases, ledger, one.decision.decided_on, last)
    return NOTHING if found is None else _said(found, last)


def _last_day(one: Standing) -> list[date]:
    """Up to the day before its review; a settled one keeps the day on which it was settled."""
    until = one.due_on or (one.decision.review_on if not one.reviews else None)
    if until is not None:
        return [until - timedelta(days=1)]
    return [one.reviews[-1].at.date() - timedelta(days=1)]


def _said(found: BeforeAfter, last: date) -> Effect:
    over = "Days at risk" if found.is_rate else "Episodes"
    value = "Per patient-year" if found.is_rate else "Share"
    rows = tuple(
        (name, _span(one), str(one.count), f"{one.over:,}", *_figures(one, found.is_rate))
        for name, one in (("Before", found.before), ("After", found.after))
    )
    return Effect(
        _sentence(found), ("", "Days", "Counted", over, value, "95 % range"), rows,
        _NOTE.format(day_text(last)),
    )  # fmt: skip


def _span(one: Window) -> str:
    return f"{day_text(one.first)} to {day_text(one.last)}"


def _figures(one: Window, is_rate: bool) -> tuple[str, str]:
    if one.value is None or one.lower is None or one.upper is None:
        return ("nobody at risk" if is_rate else "nothing to count", "")
    if is_rate:
        return f"{one.value:.2f}", f"{one.lower:.2f} to {one.upper:.2f}"
    return f"{one.value * 100:.0f} %", f"{one.lower * 100:.0f} to {one.upper * 100:.0f} %"


def _counted(one: Window, is_rate: bool) -> str:
    if is_rate:
        return f"{one.count} in {one.over / DAYS_PER_YEAR:,.1f} patient-years"
    return f"{one.count} of {one.over} episodes"


def _sentence(found: BeforeAfter) -> str:
    said = (
        f"Before: {_counted(found.before, found.is_rate)}; "
        f"after: {_counted(found.after, found.is_rate)}."
    )
    if found.ratio is not None:
        return f"{said} {ratio_text(found.ratio)}: {change_text(found.ratio)}."
    if found.is_rate:
        return f"{said} Nobody was at risk on one side: no ratio."
    return f"{said} {_shares(found)}"


def _shares(found: BeforeAfter) -> str:
    before, after = found.before, found.after
    if before.lower is None or before.upper is None or after.lower is None or after.upper is None:
        return "Nothing to compare on one side yet."
    if after.upper < before.lower or after.lower > before.upper:
        return "The two ranges lie apart."
    return "The two ranges overlap: no change that chance could not make."
