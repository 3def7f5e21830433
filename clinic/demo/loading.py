"""Loads what the invented clinics knew on one day, as any folder of record files is loaded."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from clinic.actions.audit import Actor, write_event
from clinic.demo.accounts import DEMO
from clinic.demo.days import on_day
from clinic.demo.parameters import Parameters
from clinic.demo.record_folder import Rows, write_record_folder
from clinic.demo.recorded import set_recorded
from clinic.imports.folder import read_folder
from clinic.imports.load import load
from clinic.models import AuditEvent

LOADED = {"verb": "load", "thing": "demonstration"}


class CannotLoad(Exception):
    """The generator made rows that the record refuses."""


def load_days(numbers: Parameters) -> list[date]:
    """The days on which something was decided or frozen, and the demonstration's own day."""
    decided = [one.decided_on for one in numbers.decisions]
    return sorted({numbers.today, *decided, *(one.prepared_on for one in numbers.signed)})


def is_loaded(day: date) -> bool:
    events = AuditEvent.objects.filter(chain__clinic=None, **LOADED)
    return events.filter(changes={"known_on": [None, day.isoformat()]}).exists()


def load_known(
    numbers: Parameters, known: Rows, before: Rows, day: date, folder: Path,
    progress: Callable[[int], object],
) -> None:  # fmt: skip
    """Of what is known on the day only what is new since the load before."""
    rows = _news(known, before)
    with on_day(day):
        store_rows(numbers, rows, folder, by=DEMO, progress=progress)
        write_event(
            clinic=None, by=DEMO, **LOADED, changes={"known_on": [None, day.isoformat()]}
        )  # fmt: skip


def store_rows(
    numbers: Parameters,
    rows: Rows,
    folder: Path,
    *,
    by: Actor,
    progress: Callable[[int], object] = lambda rows: None,
) -> None:
    """By way of record files, then with the moments at which the rows were entered."""
    write_record_folder(folder, rows)
    outcome = load(read_folder(folder), by=by, progress=progress)
    if outcome.faults:
        raise CannotLoad(f"{folder}: {outcome.faults[0]}")
    set_recorded(rows, ZoneInfo(numbers.time_zone))


def _news(rows: Rows, before: Rows) -> Rows:
    """Rows that are new or say something new; the clinics always, as whose rows they are."""
    return {
        subject: made if subject == "clinics" else _unsaid(made, before.get(subject, []))
        for subject, made in rows.items()
    }


def _unsaid(made: list, before: list) -> list:
    said = {tuple(row.items()) for row in before}
    return [row for row in made if tuple(row.items()) not in said]
