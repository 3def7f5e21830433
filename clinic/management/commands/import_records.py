"""Loads a folder of record files: all or nothing, every fault at once, twice changes nothing."""

from __future__ import annotations

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, IntegrityError
from tqdm import tqdm

from clinic.actions.audit import host_actor
from clinic.imports.folder import read_folder
from clinic.imports.load import load
from clinic.imports.outcome import Outcome
from clinic.imports.source import Source
from clinic.management.exit_codes import CALL, DATA, MACHINE

WARNINGS_SHOWN = 200  # on a terminal; --json has them all

EXAMPLE = """examples:
  manage.py import_records records/ --check    all that is wrong, nothing stored
  manage.py import_records records/            loads it, or nothing of it
  manage.py write_templates records/           empty files with the right columns
"""


class Command(BaseCommand):
    help = "Load a folder of record files into the record: all of it or nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.epilog, parser.formatter_class = EXAMPLE, RawDescriptionHelpFormatter
        parser.add_argument("folder", type=Path, help="the folder that holds clinics.csv, ...")
        parser.add_argument("--check", action="store_true", help="tell all faults, store nothing")
        parser.add_argument("--json", action="store_true", help="the whole outcome as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        folder: Path = options["folder"]
        if not folder.is_dir():
            raise CommandError(f"{folder} is no folder", returncode=CALL)
        outcome = self.outcome(folder, options["check"])
        if options["json"]:
            self.stdout.write(json.dumps(outcome.as_json(), ensure_ascii=False, indent=1))
        else:
            self.tell(outcome)
        if outcome.faults:
            raise CommandError(outcome.summary()[0], returncode=DATA)

    def outcome(self, folder: Path, check: bool) -> Outcome:
        try:
            source = read_folder(folder)
            return self.load(source, check)
        except IntegrityError as error:
            said = (
                "the record was changed by somebody else meanwhile; nothing was stored, try again"
            )
            raise CommandError(said, returncode=MACHINE) from error
        except (DatabaseError, OSError) as error:
            said = f"{error}; nothing was stored, try again"
            raise CommandError(said, returncode=MACHINE) from error

    def load(self, source: Source, check: bool) -> Outcome:
        # disable=None: silent where the output is no terminal.
        with tqdm(total=source.row_count, unit=" rows", disable=None, leave=False) as bar:
            return load(source, by=host_actor(), check=check, progress=bar.update)

    def tell(self, outcome: Outcome) -> None:
        for fault in outcome.faults:
            self.stderr.write(str(fault))
        for change in outcome.changes:
            self.stdout.write(f"changed: {change.sentence}")
        for warning in outcome.warnings[:WARNINGS_SHOWN]:
            self.stderr.write(self.style.WARNING(f"warning: {warning}"))
        if (more := len(outcome.warnings) - WARNINGS_SHOWN) > 0:
            self.stderr.write(f"and {more:,} more warnings (--json lists all)")
        if not outcome.faults:
            self.stdout.write("\n".join(outcome.summary()))
