"""Write the rate report of one clinic and period to a file."""

from __future__ import annotations

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from clinic.actions.audit import host_actor
from clinic.models import Clinic
from clinic.shards import clinics_of_network
from reports.rate_report.files import RATE_REPORT_FORMATS, ReportFile, rate_report_file
from reports.rate_report.period_text import is_period, quarter_of
from reports.rate_report.tables import HOST
from reports.reading_log import log_download
from reports.report_shards import ReportShard, written
from reports.versions import best_snapshot
from surveillance.models import Snapshot

EXAMPLE = "example: manage.py rate_report --clinic TQ --period 2025-Q4 --format csv --output q4.csv"
CALL_IS_WRONG = 2


class Command(BaseCommand):
    help = "Write the rate report of one clinic and period, with pseudonyms, to a new file."

    def create_parser(self, *args: Any, **options: Any) -> ArgumentParser:
        options |= {"epilog": EXAMPLE, "formatter_class": RawDescriptionHelpFormatter}
        return super().create_parser(*args, **options)

    def add_arguments(self, parser: ArgumentParser) -> None:
        whose = parser.add_mutually_exclusive_group(required=True)
        whose.add_argument("--clinic", help="the clinic's code")
        whose.add_argument("--network", help="every clinic of a network, a file each")
        parser.add_argument("--period", required=True, help="2025-Q4, 2025-Q4/4q, 2025 or 2025-07")
        parser.add_argument("--format", required=True, choices=sorted(RATE_REPORT_FORMATS))
        parser.add_argument("--output", required=True, help="a new file; of a network, a folder")
        parser.add_argument(
            "--processes", type=int, default=1, help="of a network: so many clinics at a time"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["network"]:
            self._network(options)
            return
        snapshot = _snapshot(options["clinic"], options["period"])
        file = rate_report_file(snapshot, options["period"], options["format"], HOST)
        _write_new(Path(options["output"]), file)
        log_download(snapshot, by=host_actor(), file=file, how="pseudonyms")
        self.stderr.write(f"{options['output']}: {file.rows} rows, SHA-256 {file.sha256}")

    def _network(self, options: dict[str, Any]) -> None:
        """Clinic by clinic: no process holds more than one report."""
        codes = sorted(clinics_of_network(options["network"]).values_list("code", flat=True))
        if not codes:
            raise _wrong(f"--network {options['network']!r}: no clinic belongs to it.")
        _require_period(options["period"])
        folder = Path(options["output"])
        folder.mkdir(parents=True, exist_ok=True)
        shards = [
            ReportShard(code, options["period"], options["format"], str(folder)) for code in codes
        ]
        try:
            for one in written(shards, options["processes"]):
                said = f"{one.path}: {one.rows} rows, SHA-256 {one.sha256}" if one.path else (
                    f"{one.clinic}: nothing is computed for {options['period']}"
                )  # fmt: skip
                self.stderr.write(said)
        except FileExistsError as fault:
            raise _wrong(f"--output {fault.filename}: this file exists already.") from None


def _wrong(message: str) -> CommandError:
    return CommandError(message, returncode=CALL_IS_WRONG)


def _require_period(period: str) -> None:
    if not is_period(period):
        raise _wrong(f"--period {period!r}: write 2025-Q4, 2025-Q4/4q, 2025 or 2025-07.")


def _snapshot(code: str, period: str) -> Snapshot:
    _require_period(period)
    clinic = Clinic.objects.filter(code=code, withdrawn_at=None).first()
    if clinic is None:
        raise _wrong(f"--clinic {code!r}: there is no such clinic.")
    snapshot = best_snapshot(clinic, quarter_of(period), period)
    if snapshot is None:
        raise _wrong(
            f"--period {period}: nothing is computed for it; run compute_measures --clinic {code}."
        )
    return snapshot


def _write_new(path: Path, file: ReportFile) -> None:
    """Refuses a file that exists: what was handed out once is not replaced unseen."""
    try:
        with path.open("xb") as target:
            target.write(file.content)
    except FileExistsError:
        raise _wrong(f"--output {path}: this file exists already; name a new one.") from None
    except OSError as fault:
        raise CommandError(f"--output {path}: {fault.strerror}.", returncode=3) from None
