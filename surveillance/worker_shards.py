"""Clinics as pieces of work for Celery workers: asked as rows, waited for in the order asked."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from typing import Any

from django.db.models import Count, Max, Q

from clinic.actions.audit import Actor
from clinic.shards import standing_clinics
from surveillance import jobs
from surveillance.models import Computation
from surveillance.shards import Shard, stored
from surveillance.snapshots import latest_snapshot

LOOK_EVERY_SECONDS = 0.5
SWEEP_EVERY_SECONDS = 30  # there may be no scheduler beside the workers
PATIENCE_SECONDS = 600  # well above a lease: a killed worker's piece is tried again meanwhile


def computed_by_workers(shards: Sequence[Shard], by: Actor) -> Iterator[dict[str, Any]]:
    """What was stored, shard by shard, in the order given; whoever computes, the same rows.

    Raises OSError if a piece failed or if no worker moves any; what was asked stays asked.
    """
    asked = [_ask(shard, by) for shard in shards]
    for shard, computation in zip(shards, asked, strict=True):
        _wait(computation, asked)
        draft = latest_snapshot(computation.clinic, shard.rule_set)
        if draft is None or (draft.through, draft.as_of) != (shard.through, shard.as_of):
            raise OSError(f"{shard.clinic}: other figures were stored meanwhile")
        yield stored(shard, draft)


def _ask(shard: Shard, by: Actor) -> Computation:
    return jobs.ask(
        clinic=standing_clinics().get(code=shard.clinic), by=by, rule_set=shard.rule_set,
        as_of=shard.as_of, through=shard.through,
    )  # fmt: skip


def _wait(computation: Computation, asked: Sequence[Computation]) -> None:
    moved, last_pulse, swept = time.monotonic(), _pulse(asked), time.monotonic()
    while not _is_done(computation):
        time.sleep(LOOK_EVERY_SECONDS)
        now, pulse = time.monotonic(), _pulse(asked)
        moved, last_pulse = (now, pulse) if pulse != last_pulse else (moved, last_pulse)
        if now - moved > PATIENCE_SECONDS:
            raise TimeoutError("no worker has moved any of the work; is one running?")
        if now - swept > SWEEP_EVERY_SECONDS:
            jobs.sweep()
            swept = now


def _is_done(computation: Computation) -> bool:
    computation.refresh_from_db(fields=["state", "sentence"])
    if computation.state == "failed":
        raise OSError(f"{computation.clinic.code}: {computation.sentence.rstrip('.')}")
    return computation.state == "done"


def _pulse(asked: Sequence[Computation]) -> dict[str, Any]:
    """Changes as long as any worker does any of it."""
    rows = Computation.objects.filter(asked_at__gte=min(one.asked_at for one in asked))
    return rows.aggregate(ended=Count("pk", filter=Q(state="done")), lease=Max("lease_until"))
