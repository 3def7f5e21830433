"""Writes empty record files and the data dictionary into a folder."""

from __future__ import annotations

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from clinic.imports.templates import write_templates
from clinic.management.exit_codes import CALL, MACHINE

EXAMPLE = "example:\n  manage.py write_templates records/\n"


class Command(BaseCommand):
    help = "Write empty record files (header rows) and the data dictionary."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.epilog, parser.formatter_class = EXAMPLE, RawDescriptionHelpFormatter
        parser.add_argument("folder", type=Path, help="where to write them")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            written = write_templates(options["folder"])
        except FileExistsError as error:
            raise CommandError(f"{error}; nothing was written", returncode=CALL) from error
        except OSError as error:
            raise CommandError(str(error), returncode=MACHINE) from error
        self.stdout.write(f"{len(written)} files written to {options['folder']}")
