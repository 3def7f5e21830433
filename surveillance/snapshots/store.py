"""Stores what was computed: canonical bytes a table and a period, all of them or nothing."""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Sequence
from datetime import date
from importlib.metadata import version
from typing import TYPE_CHECKING

from django.db import transaction

from clinic.actions.audit import held_data_version
from clinic.clock import now
from clinic.shards import Clinic
from surveillance.models import Snapshot, SnapshotTable

if TYPE_CHECKING:
    from surveillance.snapshots.cut import CutTable

DRAFTS_KEPT = 3  # a clinic, rule set and `through`; older ones are of no use to anybody


def digest_of(tables: Sequence[CutTable]) -> str:
    """SHA-256 over each table's name, period and own digest, in order."""
    lines = sorted(f"{one.table},{one.period},{_sha256(one.content)}\n" for one in tables)
    return _sha256("".join(lines).encode())


def _sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


@transaction.atomic
def store(
    *,
    clinic: Clinic,
    through: str,
    rule_set: str,
    as_of: date,
    data_version: int,
    tables: Sequence[CutTable],
) -> Snapshot:
    """Store a draft in place of an older one of the same work; the same again changes nothing."""
    held_data_version(clinic)  # two stores of one clinic wait for each other
    work = {
        "clinic": clinic, "through": through, "rule_set": rule_set, "as_of": as_of,
        "data_version": data_version,
    }  # fmt: skip
    made = Snapshot(
        **work, digest=digest_of(tables), made_at=now(),
        software_version=version("pd-infection-surveillance"),
    )  # fmt: skip
    before = Snapshot.objects.filter(**work, state="draft").first()
    if before is not None and _same_figures(before, made):
        if before == _newest_draft(clinic, rule_set):
            return before
        made.uid = before.uid  # the same figures keep their address
    if before is not None:
        before.delete()
    made.save()
    SnapshotTable.objects.bulk_create([_row(made, one) for one in tables], batch_size=500)
    _prune(made)
    return made


def _same_figures(one: Snapshot, other: Snapshot) -> bool:
    return (one.digest, one.software_version) == (other.digest, other.software_version)


def _newest_draft(clinic: Clinic, rule_set: str) -> Snapshot | None:
    drafts = Snapshot.objects.filter(clinic=clinic, rule_set=rule_set, state="draft")
    return drafts.order_by("-id").first()


def _row(snapshot: Snapshot, one: CutTable) -> SnapshotTable:
    return SnapshotTable(
        snapshot=snapshot, table=one.table, period=one.period, rows=one.rows,
        sha256=_sha256(one.content), content=zlib.compress(one.content, 6),
    )  # fmt: skip


def _prune(newest: Snapshot) -> None:
    drafts = Snapshot.objects.filter(
        clinic=newest.clinic, rule_set=newest.rule_set, through=newest.through, state="draft"
    )
    for old in drafts.order_by("-id")[DRAFTS_KEPT:]:
        old.delete()
