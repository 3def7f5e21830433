"""Makes the account that can give others theirs; once, on the host, before anybody signs in."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime
from getpass import getpass
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction

from clinic.actions.audit import host_actor
from clinic.actions.people import create_person, give_grant
from clinic.management.exit_codes import CALL, DATA
from clinic.models import Grant, Person

REASON = "First administrator, made on the host."


class Command(BaseCommand):
    help = (
        "Make the first administrator's account; refused once there is one. "
        "Example: manage.py first_administrator fennel --name 'Administrator Fennel'"
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username", metavar="NAME", help="the name to sign in with")
        parser.add_argument("--name", help="the name that pages show (default: NAME)")
        parser.add_argument(
            "--generate", action="store_true", help="make a password and print it, once"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        username = options["username"]
        _require_none_yet(username)
        password = secrets.token_urlsafe(18) if options["generate"] else _asked_password()
        _make(username, options["name"] or username, password)
        self.stdout.write(f"{username} may sign in as administrator.")
        if options["generate"]:
            self.stdout.write(f"Password, shown this once: {password}")


def _require_none_yet(username: str) -> None:
    if Grant.objects.filter(role="administrator", ended_at=None).exists():
        raise CommandError("there is an administrator already; nothing was made", returncode=DATA)
    if Person.objects.filter(username=username).exists():
        raise CommandError(f"the name {username} is taken; nothing was made", returncode=DATA)


def _asked_password() -> str:
    password = getpass("Password: ")
    if getpass("Again: ") != password:
        raise CommandError("the two differ; nothing was made", returncode=CALL)
    try:
        validate_password(password)
    except ValidationError as error:
        raise CommandError(" ".join(error.messages), returncode=CALL) from error
    return password


def _make(username: str, name: str, password: str) -> None:
    """The account and its grant, or neither."""
    by = host_actor()
    with transaction.atomic():
        person = create_person(username=username, name=name, password=password, by=by)
        give_grant(
            person=person, role="administrator", clinic=None,
            first_day=datetime.now(UTC).date(), reason=REASON, by=by,
        )  # fmt: skip
