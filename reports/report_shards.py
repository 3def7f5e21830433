"""Reports of many clinics: one clinic is one piece of work, in this process or in several.

A fresh process imports this module before it has set Django up: what needs Django comes later.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path


@dataclass(frozen=True)
class ReportShard:
    """One clinic's report, small enough to be handed to another process."""

    clinic: str
    period: str
    ending: str
    folder: str


@dataclass(frozen=True)
class Written:
    """What became of it; no path where the clinic has no figures of the period."""

    clinic: str
    path: str = ""
    sha256: str = ""
    rows: int = 0


def write_shard(shard: ReportShard) -> Written:
    """Write one clinic's file into the folder, logged; a file that exists is a fault."""
    from clinic.actions.audit import host_actor
    from clinic.shards import standing_clinics
    from reports.rate_report.files import rate_report_file
    from reports.rate_report.period_text import quarter_of
    from reports.rate_report.tables import HOST
    from reports.reading_log import log_download
    from reports.versions import best_snapshot

    clinic = standing_clinics().get(code=shard.clinic)
    snapshot = best_snapshot(clinic, quarter_of(shard.period), shard.period)
    if snapshot is None:
        return Written(shard.clinic)
    file = rate_report_file(snapshot, shard.period, shard.ending, HOST)
    path = Path(shard.folder) / file.name
    with path.open("xb") as target:
        target.write(file.content)
    log_download(snapshot, by=host_actor(), file=file, how="pseudonyms")
    return Written(shard.clinic, str(path), file.sha256, file.rows)


def _set_up_django() -> None:
    import django

    django.setup()


def written(shards: Sequence[ReportShard], processes: int) -> Iterator[Written]:
    """Clinic by clinic, in the order given; nothing but file names comes back."""
    if processes < 2 or len(shards) < 2:
        yield from map(write_shard, shards)
        return
    with ProcessPoolExecutor(processes, get_context("spawn"), _set_up_django) as pool:
        yield from pool.map(write_shard, shards)
