"""Builds the invented clinics, computes their figures and serves them, in one command."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser, call_command

from clinic.demo import accounts
from clinic.demo.network import network_rows
from clinic.demo.parameters import Parameters, read_parameters
from clinic.demo.record_folder import write_record_folder
from clinic.demo.serving import HOST, CannotServe, require_free, serve
from surveillance.demo_quarter import sign_demo_quarter

PARAMETERS = settings.HERE / "fixtures" / "demo" / "parameters.toml"
CALL_IS_WRONG, MACHINE_IS_AT_FAULT = 2, 3


class Command(BaseCommand):
    help = (
        "Build the invented demonstration clinics, compute their figures and serve them with "
        "worker and scheduler until Ctrl-C. Only into an empty or a demonstration database. "
        "Example: manage.py demo --port 8000"
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="stop after computing")
        parser.add_argument("--port", type=int, default=8000, help="port of the web service (8000)")

    def handle(self, *args: Any, no_serve: bool, port: int, **options: Any) -> None:
        numbers = read_parameters(PARAMETERS)
        _fix_the_day(numbers)
        try:
            if not no_serve:
                require_free(port)
            self.build(numbers)
            if not no_serve:
                serve(port, ready=lambda: self.say_where_to_look(numbers, port))
        except CannotServe as error:
            raise CommandError(str(error), returncode=MACHINE_IS_AT_FAULT) from None

    def build(self, numbers: Parameters) -> None:
        """Each step leaves alone what an earlier run already did."""
        self.tell("preparing the database")
        call_command("migrate", verbosity=0)
        call_command("collectstatic", interactive=False, verbosity=0)
        if not (accounts.is_empty_database() or accounts.is_demo_database()):
            raise CommandError(
                "this database holds a real record; the demonstration goes only into an empty or "
                "a demonstration database (set DATA_DIR or DATABASE_URL to another one)",
                returncode=CALL_IS_WRONG,
            )
        accounts.mark_as_demo()
        if not accounts.holds_clinics(numbers):
            self.load(numbers)
        accounts.make_accounts(numbers)
        self.tell(f"computing, and signing {numbers.signed_quarter} of {numbers.signed_clinic}")
        sign_demo_quarter(numbers)
        call_command("compute_measures", stdout=self.stderr)

    def load(self, numbers: Parameters) -> None:
        folder = Path(settings.DATA_DIR) / "demo_record"
        self.tell(f"making the invented record in {folder}")
        write_record_folder(folder, network_rows(numbers))
        self.tell("loading it as any folder of record files")
        call_command("import_records", str(folder), stdout=self.stderr)

    def tell(self, step: str) -> None:
        self.stderr.write(f"demo: {step}")

    def say_where_to_look(self, numbers: Parameters, port: int) -> None:
        day = numbers.today
        lines = [
            "",
            f"The demonstration is ready: http://{HOST}:{port}/",
            f"It is {day.day} {day:%B %Y} there; all people, places and figures are invented.",
            "",
            "Sign in as one of:",
            *accounts.account_lines(numbers),
            "",
            f"Password of each: {numbers.accounts['password']}",
            "Ctrl-C ends it.",
        ]
        self.stdout.write("\n".join(lines))
        self.stdout.flush()


def _fix_the_day(numbers: Parameters) -> None:
    """For this process and its children: the invented record ends on this day."""
    os.environ |= {"TODAY": numbers.today.isoformat(), "DEMO": "1"}
    settings.DEMO = True
