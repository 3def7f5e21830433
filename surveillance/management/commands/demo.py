"""Builds the invented clinics, computes their figures and serves them, in one command."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser, call_command
from tqdm import tqdm

from clinic.demo import accounts
from clinic.demo.decisions import decide
from clinic.demo.dissents import record_dissents
from clinic.demo.known import known_by
from clinic.demo.larger import TooSmall, load_more, more_clinics
from clinic.demo.loading import is_loaded, load_days, load_known
from clinic.demo.network import whole_rows
from clinic.demo.parameters import ClinicNumbers, Parameters, read_parameters
from clinic.demo.record_folder import Rows
from clinic.demo.serving import HOST, CannotServe, require_free, serve
from surveillance.demo_signing import freeze

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
        parser.add_argument(
            "--size", type=int, metavar="N",
            help="patients when all clinics are full: adds steady clinics (default: none)",
        )  # fmt: skip

    def handle(
        self, *args: Any, no_serve: bool, port: int, size: int | None, **options: Any
    ) -> None:
        numbers = read_parameters(PARAMETERS)
        _fix_the_day(numbers)
        try:
            more = more_clinics(numbers, size) if size is not None else ()
            if not no_serve:
                require_free(port)
            self.build(numbers, more)
            if not no_serve:
                serve(port, ready=lambda: self.say_where_to_look(numbers, port))
        except TooSmall as error:
            raise CommandError(f"--size: {error}", returncode=CALL_IS_WRONG) from None
        except CannotServe as error:
            raise CommandError(str(error), returncode=MACHINE_IS_AT_FAULT) from None

    def build(self, numbers: Parameters, more: tuple[ClinicNumbers, ...]) -> None:
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
        self.live_through(numbers)
        record_dissents(numbers)
        self.add(numbers, more)
        self.tell(f"computing {len(numbers.clinics) + len(more)} clinics")
        processes = min(4, os.cpu_count() or 1) if more else 1
        call_command("compute_measures", processes=processes, stdout=self.stderr)

    def add(self, numbers: Parameters, more: tuple[ClinicNumbers, ...]) -> None:
        folder = Path(settings.DATA_DIR) / "demo_record"
        for done in load_more(numbers, more, folder):
            self.tell(f"steady clinics loaded: {done} of {len(more)}")

    def live_through(self, numbers: Parameters) -> None:
        """From load to load; what was decided and frozen then is decided and frozen in between."""
        days = load_days(numbers)
        whole: Rows = {} if is_loaded(days[-1]) else whole_rows(numbers)
        before: Rows = {}
        for day in days:
            if not is_loaded(day):
                before = self.load(numbers, known_by(whole, day), before, day)
            accounts.make_accounts(numbers)
            self.act(numbers, day)

    def load(self, numbers: Parameters, known: Rows, before: Rows, day: date) -> Rows:
        self.tell(f"{_written(day)}: loading what was entered since")
        folder = Path(settings.DATA_DIR) / "demo_record" / day.isoformat()
        with tqdm(unit=" rows", disable=None, leave=False) as bar:
            load_known(numbers, known, before, day, folder, bar.update)
        return known

    def act(self, numbers: Parameters, day: date) -> None:
        for decided in numbers.decisions:
            if decided.decided_on == day:
                self.tell(f"{_written(day)}: deciding at {decided.clinic}")
                decide(decided)
        for signed in numbers.signed:
            if signed.prepared_on == day:
                self.tell(f"{_written(day)}: freezing {signed.quarter} of {signed.clinic}")
                freeze(signed)

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


def _written(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def _fix_the_day(numbers: Parameters) -> None:
    """For this process and its children: the invented record ends on this day."""
    os.environ |= {"TODAY": numbers.today.isoformat(), "DEMO": "1"}
    settings.DEMO = True
