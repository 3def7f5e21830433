"""Clinics as independent pieces of work, one after the other or in several processes.

A fresh process imports this module before it has set Django up: what needs Django comes later.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import date
from multiprocessing import get_context
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from surveillance.models import Snapshot


@dataclass(frozen=True)
class Shard:
    """One clinic's work, small enough to be handed to another process."""

    clinic: str
    through: str
    rule_set: str
    as_of: date


def compute_shard(shard: Shard) -> dict[str, Any]:
    """Store one clinic's draft; twice gives the same bytes."""
    from clinic.shards import standing_clinics
    from surveillance.snapshots import compute_draft
    from surveillance.snapshots.announce import snapshot_computed

    draft = compute_draft(
        clinic=standing_clinics().get(code=shard.clinic),
        through=shard.through,
        rule_set=shard.rule_set,
        as_of=shard.as_of,
    )
    snapshot_computed.send(sender=None, snapshot=draft)
    return stored(shard, draft)


def stored(shard: Shard, draft: Snapshot) -> dict[str, Any]:
    """Which figures now stand for a clinic."""
    return {
        "clinic": shard.clinic, "through": shard.through, "rule_set": shard.rule_set,
        "as_of": shard.as_of.isoformat(), "data_version": draft.data_version,
        "snapshot": str(draft.uid), "digest": draft.digest,
    }  # fmt: skip


def _set_up_django() -> None:
    import django

    django.setup()


def computed(shards: Sequence[Shard], processes: int) -> Iterator[dict[str, Any]]:
    """What was stored, shard by shard, in the order given."""
    if processes < 2 or len(shards) < 2:
        yield from map(compute_shard, shards)
        return
    with ProcessPoolExecutor(processes, get_context("spawn"), _set_up_django) as pool:
        yield from pool.map(compute_shard, shards)
