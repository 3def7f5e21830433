"""Loads tables of text cells into the record: all or nothing, repeatable, every fault at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice

from django.db import transaction

from clinic.actions.audit import Actor
from clinic.imports.batch import load_batch
from clinic.imports.bulk import refresh_statistics
from clinic.imports.events import Events
from clinic.imports.grouping import ClinicRows, Grouped, grouped
from clinic.imports.known_clinics import known_clinics
from clinic.imports.likeness import likeness_warnings
from clinic.imports.outcome import Outcome
from clinic.imports.source import Source
from clinic.models import MODELS, Person

LARGE_LOAD_ROWS = 10_000
PATIENTS_AT_ONCE = 500  # of one clinic; what is held as values at a time


def load(
    source: Source,
    *,
    by: Actor | Person,
    check: bool = False,
    progress: Callable[[int], object] = lambda rows: None,
) -> Outcome:
    """A check does all that a load does, and then takes it back: they cannot differ."""
    outcome = Outcome(rows=source.row_count, digests=dict(source.digests), check_only=check)
    outcome.faults += source.faults
    outcome.warnings += source.warnings
    with transaction.atomic():
        _load(source, outcome, by, progress)
        outcome.faults += source.changed()
        if not outcome.stored:
            transaction.set_rollback(True)
    outcome.sort()
    return outcome


def _load(
    source: Source, outcome: Outcome, by: Actor | Person, progress: Callable[[int], object]
) -> None:
    events = Events(by, source.digests)
    clinics = known_clinics(source, outcome, events)
    rows: Grouped = grouped(source, clinics, outcome)
    for code in sorted(rows):
        here = clinics[code]
        touched: set[str] = set()
        for patients in _in_batches(rows.pop(code)):
            touched |= load_batch(here, patients, source, outcome, events)
            progress(sum(len(raws) for tables in patients.values() for raws in tables.values()))
        if not outcome.faults and touched:
            outcome.warnings += likeness_warnings(here.clinic, touched)
    if outcome.stored:
        events.write()
        if outcome.added.total() >= LARGE_LOAD_ROWS:
            refresh_statistics(MODELS[name] for name in outcome.added)


def _in_batches(rows: ClinicRows) -> Iterator[ClinicRows]:
    patients = iter(sorted(rows.items()))
    while batch := dict(islice(patients, PATIENTS_AT_ONCE)):
        yield batch
