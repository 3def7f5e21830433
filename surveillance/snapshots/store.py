"""Stores what was computed: canonical bytes a table and a period, all of them or nothing."""

from __future__ import annotations

import hashlib
import uuid
import zlib
from collections.abc import Sequence
from datetime import date
from importlib.metadata import version
from typing import TYPE_CHECKING

from django.db import transaction

from clinic.actions.audit import held_data_version
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
    """Store a draft in place of an older one of the same work; the same figures keep their uid."""
    held_data_version(clinic)  # two stores of one clinic wait for each other
    work = {
        "clinic": clinic, "through": through, "rule_set": rule_set, "as_of": as_of,
        "data_version": data_version,
    }  # fmt: skip
    made = Snapshot(
        **work, digest=digest_of(tables), software_version=version("pd-infection-surveillance")
    )
    before = Snapshot.objects.filter(**work, state="draft").first()
    made.uid = _uid(before, made)
    if before is not None:
        before.delete()
    made.save()
    SnapshotTable.objects.bulk_create([_row(made, one) for one in tables], batch_size=500)
    _prune(made)
    return made


def _uid(before: Snapshot | None, made: Snapshot) -> uuid.UUID:
    same = before is not None and (before.digest, before.software_version) == (
        made.digest, made.software_version,
    )  # fmt: skip
    return before.uid if before is not None and same else uuid.uuid4()


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
