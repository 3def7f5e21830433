"""Writes the latest computation of one clinic, a network or all clinics as CSV or JSON."""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from clinic.actions.audit import host_actor, write_event
from clinic.management.exit_codes import CALL, DATA
from clinic.shards import Clinic
from surveillance.export import FORMATS, TABLES, WRITERS, bodies
from surveillance.management.wrong_call import (
    chosen_clinics,
    machine_at_fault,
    read_period,
)
from surveillance.models import Snapshot
from surveillance.network import network_bodies
from surveillance.network_estimates import network_estimate_bodies
from surveillance.network_signals import network_signal_bodies
from surveillance.rule_differences import (
    NotTheSameRecord,
    difference_bodies,
    require_same_record,
)
from surveillance.rules import RULE_SETS
from surveillance.snapshots import latest_snapshot

# What a network has beside its clinics' own lines.
BESIDE = {"signals": network_signal_bodies, "estimates": network_estimate_bodies}
EXAMPLE = (
    "Example: manage.py export_measures --table cases --format csv --clinic TQ --output cases.csv"
)


def _latest(clinics: list[Clinic], rule_set: str) -> list[Snapshot]:
    found = {clinic: latest_snapshot(clinic, rule_set) for clinic in clinics}
    missing = [clinic.code for clinic, snapshot in found.items() if snapshot is None]
    if missing:
        message = f"not computed by {rule_set}: {', '.join(missing)}; run compute_measures first"
        raise CommandError(message, returncode=DATA)
    return [snapshot for snapshot in found.values() if snapshot is not None]


def _refuse_half_a_difference(options: dict[str, Any]) -> None:
    if (options["table"] == "difference") != bool(options["against"]):
        raise CommandError("--table difference and --against go together", returncode=CALL)


def _against(snapshots: list[Snapshot], rule_set: str) -> list[Snapshot]:
    """The same clinics by the other rule set, of the same record and day."""
    others = _latest([one.clinic for one in snapshots], rule_set)
    try:
        require_same_record(snapshots, others)
    except NotTheSameRecord as error:
        raise CommandError(f"{error}; run compute_measures by both", returncode=DATA) from error
    return others


def _with_network(
    snapshots: list[Snapshot], table: str, period: str, options: dict[str, Any]
) -> Iterator[str]:
    """Each clinic's own lines, then those that hold the clinics beside each other."""
    for one in snapshots:
        yield from bodies(one, table, period)
    yield from BESIDE[table](options["network"], snapshots, period, options["rule_set"])


def _write_to(path: Path, pieces: Iterator[str], tell: Callable[[str], None]) -> None:
    """All of it under the final name or nothing; told to the audit trail before it is there."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    digest = hashlib.sha256()
    try:
        with part.open("w", encoding="utf-8", newline="") as file:
            for piece in pieces:
                file.write(piece)
                digest.update(piece.encode())
            file.flush()
            os.fsync(file.fileno())
        tell(digest.hexdigest())
        _refuse_existing(path)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _refuse_existing(path: Path) -> None:
    if path.exists():
        raise CommandError(f"--output: {path} exists; nothing was written", returncode=DATA)


class Command(BaseCommand):
    requires_system_checks = ()  # they load every page, which takes longer than an export
    help = (
        "Export measure rows, case rows, days, the ledger, estimates or signals of the latest "
        "computation, plain and unmasked; or where two rule sets differ "
        f"(--table difference --against rule_2016). {EXAMPLE}"
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--table", choices=TABLES, default="measures")
        parser.add_argument("--format", choices=FORMATS, default="csv")
        whose = parser.add_mutually_exclusive_group()
        whose.add_argument("--clinic", help="only this clinic (default: every clinic)")
        whose.add_argument("--network", help="the sums of a network's clinics")
        parser.add_argument("--period", help="2025-07, 2025-Q3, 2025 or 2025-Q3/4q (default: all)")
        parser.add_argument("--rule-set", choices=sorted(RULE_SETS), default="rule_2022")
        parser.add_argument(
            "--against", choices=sorted(RULE_SETS), help="with --table difference: the other one"
        )
        parser.add_argument("--output", help="a new file (default: standard output)")

    def handle(self, *args: Any, **options: Any) -> None:
        period = read_period("--period", options["period"])
        _refuse_half_a_difference(options)
        path = Path(options["output"]) if options["output"] else None
        if path is not None:
            _refuse_existing(path)
        with machine_at_fault():
            clinics = chosen_clinics(options["clinic"], options["network"])
            snapshots = _latest(clinics, options["rule_set"])
            pieces = self._pieces(snapshots, period, options)
            if path is None:
                self._tell(options)
                self._out().writelines(pieces)
            else:
                _write_to(path, pieces, lambda digest: self._tell(options, digest))

    def _pieces(
        self, snapshots: list[Snapshot], period: str, options: dict[str, Any]
    ) -> Iterator[str]:
        table = options["table"]
        if options["network"] is not None and table == "measures":
            rows = network_bodies(options["network"], snapshots, period, options["rule_set"])
        elif options["network"] is not None and table in BESIDE:
            rows = _with_network(snapshots, table, period, options)
        elif table == "difference":
            others = _against(snapshots, options["against"])
            rows = difference_bodies(snapshots, others, period)
        else:
            rows = (body for one in snapshots for body in bodies(one, table, period))
        return WRITERS[options["format"]](table, rows)

    def _out(self) -> IO[str]:
        """Standard output itself: the wrapper's `write` would add a line end to every piece."""
        out: IO[str] = self.stdout._out  # type: ignore[attr-defined]
        if out is sys.stdout:
            sys.stdout.reconfigure(encoding="utf-8", newline="")  # type: ignore[union-attr]
        return out

    def _tell(self, options: dict[str, Any], digest: str = "") -> None:
        asked = ("table", "format", "clinic", "network", "period", "rule_set", "against", "output")
        said = {name: str(options[name]) for name in asked if options[name]} | {"sha256": digest}
        write_event(
            clinic=None, by=host_actor(), verb="export", thing="measures",
            changes={name: [None, value] for name, value in said.items() if value},
        )  # fmt: skip
