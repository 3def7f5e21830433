"""What commands check of a call: a wrong call ends with exit code 2, before anything is done."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date

from django.core.management.base import CommandError
from django.db import DatabaseError

from clinic.management.exit_codes import CALL, MACHINE
from clinic.shards import Clinic, clinics_of_network, standing_clinics
from surveillance.periods import parse_period
from surveillance.snapshots.read import Damaged


def chosen_clinics(code: str | None, network: str | None = None) -> list[Clinic]:
    """One clinic, those of a network, or all that stand; in the order of their names."""
    if network is not None:
        found = clinics_of_network(network)
    else:
        found = standing_clinics() if code is None else standing_clinics().filter(code=code)
    clinics = sorted(found, key=lambda clinic: clinic.code)
    if not clinics and network is not None:
        raise CommandError(f"--network {network!r}: no clinic belongs to it", returncode=CALL)
    if not clinics and code is not None:
        raise CommandError(f"--clinic {code!r}: there is no such clinic", returncode=CALL)
    return clinics


def read_period(option: str, text: str | None) -> str:
    try:
        return parse_period(text).text if text else ""
    except ValueError as error:
        raise CommandError(f"{option}: {error}", returncode=CALL) from error


def read_day(option: str, text: str | date | None) -> date | None:
    if text is None or isinstance(text, date):
        return text
    try:
        if len(text) != len("2025-06-30"):
            raise ValueError  # 20250630 and 2025-W27-1 are ISO days too, but not ours
        return date.fromisoformat(text)
    except ValueError as error:
        message = f"{option}: {text!r} is not a day; write 2025-06-30"
        raise CommandError(message, returncode=CALL) from error


@contextmanager
def machine_at_fault() -> Iterator[None]:
    """The database or the disk failed, or lost bytes: exit code 3."""
    try:
        yield
    except (DatabaseError, OSError, Damaged) as error:
        raise CommandError(
            f"{error}. Nothing is half-written; run it again.", returncode=MACHINE
        ) from error
