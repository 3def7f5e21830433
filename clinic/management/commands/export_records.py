"""Writes the record as record files; importing them into an empty database gives it back."""

from __future__ import annotations

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from tqdm import tqdm

from clinic.columns import SUBJECTS
from clinic.imports.export import FolderInUse, export_folder
from clinic.management.exit_codes import CALL, MACHINE
from clinic.models import Clinic

EXAMPLE = """examples:
  manage.py export_records records/               every clinic
  manage.py export_records records/ --clinic TQ   one clinic
"""


class Command(BaseCommand):
    help = "Write the standing record as a folder of record files (withdrawn rows are left out)."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.epilog, parser.formatter_class = EXAMPLE, RawDescriptionHelpFormatter
        parser.add_argument("folder", type=Path, help="a folder that does not exist or is empty")
        parser.add_argument("--clinic", help="the code of one clinic; without it, all")
        parser.add_argument("--json", action="store_true", help="the counts as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            clinics = self.clinics(options["clinic"])
            counts = self.export(options["folder"], clinics)
        except FolderInUse as error:
            raise CommandError(f"{error}; nothing was written", returncode=CALL) from error
        except (DatabaseError, OSError) as error:
            said = f"{error}; nothing was written, try again"
            raise CommandError(said, returncode=MACHINE) from error
        if options["json"]:
            self.stdout.write(json.dumps(counts, indent=1))
        else:
            told = ", ".join(f"{count:,} {name}" for name, count in counts.items() if count)
            self.stdout.write(f"written to {options['folder']}: {told or 'no rows'}")

    def clinics(self, code: str | None) -> Any:
        clinics = Clinic.objects.filter(withdrawn_at=None)
        if code is None:
            return clinics
        if not clinics.filter(code=code).exists():
            raise CommandError(f"--clinic {code!r}: there is no such clinic", returncode=CALL)
        return clinics.filter(code=code)

    def export(self, folder: Path, clinics: Any) -> dict[str, int]:
        total = clinics.count() * len(SUBJECTS)
        with tqdm(total=total, unit=" files of a clinic", disable=None, leave=False) as bar:
            return export_folder(folder, clinics, progress=bar.update)
