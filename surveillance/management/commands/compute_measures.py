"""Computes clinics here, some at a time, or on the workers, and stores each one's figures."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from tqdm import tqdm

from clinic.actions.audit import host_actor, write_event
from clinic.clock import today
from clinic.management.exit_codes import DATA
from clinic.shards import Clinic
from surveillance.management.wrong_call import (
    chosen_clinics,
    machine_at_fault,
    read_day,
    read_period,
)
from surveillance.rules import RULE_SETS
from surveillance.shards import Shard, computed
from surveillance.worker_shards import computed_by_workers

EXAMPLE = "Example: manage.py compute_measures --clinic TQ --through 2025-Q3 --as-of 2025-12-31"


def _as_of(clinic: Clinic, given: date | None) -> date:
    day = today(clinic)
    if given is not None and given > day:
        message = f"--as-of {given} is after today ({day} at {clinic.name})"
        raise CommandError(message, returncode=DATA)
    return given or day


def _report(done: list[dict[str, Any]], as_json: bool) -> str:
    if as_json:
        return json.dumps({"computed": done}, indent=1, ensure_ascii=False)
    days = sorted({one["as_of"] for one in done})
    return f"Computed {len(done)} clinic(s) as of {', '.join(days) or 'no day'}."


class Command(BaseCommand):
    requires_system_checks = ()  # they load every page, which takes longer than one clinic
    help = f"Compute and store the figures of every clinic, or of one. Drafts only. {EXAMPLE}"

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--clinic", help="only this clinic")
        parser.add_argument("--through", help="last period, as 2025-Q3 (default: all that ended)")
        parser.add_argument("--as-of", help="the last day that is known, as 2025-12-31")
        parser.add_argument("--rule-set", choices=sorted(RULE_SETS), default="rule_2022")
        how = parser.add_mutually_exclusive_group()
        how.add_argument("--processes", type=int, default=1, help="clinics computed at a time")
        how.add_argument(
            "--workers", action="store_true", help="have the running workers do it, and wait"
        )
        parser.add_argument("--json", action="store_true", help="print what was stored as JSON")

    def handle(self, *args: Any, **options: Any) -> str:
        through = read_period("--through", options["through"])
        given = read_day("--as-of", options["as_of"])
        with machine_at_fault():
            shards = [
                Shard(clinic.code, through, options["rule_set"], _as_of(clinic, given))
                for clinic in chosen_clinics(options["clinic"])
            ]
            if options["workers"]:
                found = computed_by_workers(shards, host_actor())
            else:
                found = computed(shards, options["processes"])
            done = list(self._shown(found, len(shards)))
            self._tell(done, options)
        return _report(done, options["json"])

    def _shown(self, done: Iterable[dict[str, Any]], total: int) -> Iterable[dict[str, Any]]:
        return tqdm(done, total=total, unit="clinic", disable=None)

    def _tell(self, done: list[dict[str, Any]], options: dict[str, Any]) -> None:
        asked = {name: [None, str(options[name] or "")] for name in ("clinic", "through", "as_of")}
        write_event(
            clinic=None, by=host_actor(), verb="compute", thing="computation",
            changes={**asked, "clinics": [None, len(done)]},
        )  # fmt: skip
