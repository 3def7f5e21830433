"""Computes one clinic's figures and stores them as a draft; the newest draft is the latest."""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import date
from functools import cache
from typing import TYPE_CHECKING, Any

from django.db import transaction

from clinic.actions.audit import data_version
from clinic.catalogue import organism_rows
from clinic.shards import Clinic
from surveillance.models import Snapshot, Work
from surveillance.phases import phases_of
from surveillance.snapshots.read import periods
from surveillance.snapshots.store import store

if TYPE_CHECKING:
    from surveillance.signals.phases import Phases
    from surveillance.snapshots.cut import CutTable
    from surveillance.tables import Record


DRAFTS_LOOKED_AT = 3  # an older draft knows less than these; reading on would only cost time


def compute_draft(
    *,
    clinic: Clinic,
    rule_set: str,
    as_of: date,
    through: str = "",
    tell: Callable[[str, int], None] = lambda words, percent: None,
    before_commit: Callable[[], None] = lambda: None,
) -> Snapshot:
    """Read, count and store one clinic; `tell` hears of each step (words, percent done)."""
    from surveillance import extract  # brings pandas
    from surveillance.snapshots.dissents import dissents_table
    from surveillance.snapshots.entries import entries_table

    tell("reading the record", 5)
    with extract.consistent_read():
        number, record = data_version(clinic), extract.read_record([clinic])
        said, entries = extract.read_dissents(clinic), extract.read_entries(clinic)
        phases = phases_of([clinic])
    tell("counting", 30)
    tables = computed_tables(record, rule_set=rule_set, as_of=as_of, through=through, phases=phases)
    tables += [dissents_table(said, tables), entries_table(entries, tables)]
    tell("storing", 90)
    with transaction.atomic():
        snapshot = store(
            clinic=clinic, through=through, rule_set=rule_set, as_of=as_of, data_version=number,
            tables=tables,
        )  # fmt: skip
        before_commit()
    return snapshot


def computed_tables(
    record: Record, *, rule_set: str, as_of: date, through: str, phases: Phases | None = None
) -> list[CutTable]:
    """What the method says, as the bytes that are stored."""
    from surveillance.rules import RULE_SETS
    from surveillance.signals.compute import compute_everything
    from surveillance.snapshots.cut import cut_tables

    rules = RULE_SETS[rule_set]
    found = compute_everything(record, _catalogue(), rules, as_of, through or None, phases)
    return cut_tables(found.result, found.estimates, found.signals)


@cache
def _catalogue() -> Any:
    import pandas as pd

    return pd.DataFrame(organism_rows(), dtype=object)


def latest_snapshot(
    clinic: Clinic, rule_set: str = "rule_2022", states: Collection[str] = ("draft",)
) -> Snapshot | None:
    """The newest of these states, whatever its day and last period."""
    found = Snapshot.objects.filter(clinic=clinic, rule_set=rule_set, state__in=states)
    return found.order_by("-id").first()


def newest_draft(clinic: Clinic, period: str = "", rule_set: str = "rule_2022") -> Snapshot | None:
    """The draft that knows the latest day, over all ended periods (that holds this period)."""
    drafts = Snapshot.objects.filter(clinic=clinic, through="", state="draft", rule_set=rule_set)
    newest = drafts.select_related("clinic").order_by("-as_of", "-id")[:DRAFTS_LOOKED_AT]
    return next((one for one in newest if not period or period in periods(one)), None)


def is_latest_draft(work: Work) -> bool:
    """Whether the clinic's newest draft answers this work."""
    latest = latest_snapshot(work.clinic, work.rule_set)
    return (
        latest is not None
        and (latest.through, latest.as_of) == (work.through, work.as_of)
        and latest.data_version >= work.data_version
    )
