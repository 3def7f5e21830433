"""Writes the standing record as a folder of record files: the round trip of the import."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from clinic.checks.stored_rows import cell_lookups
from clinic.columns import SUBJECTS, Subject, file_columns
from clinic.consistent_read import consistent_read
from clinic.imports.cells import cell_text, csv_line
from clinic.imports.source import ALL_COLUMNS
from clinic.lineage import path_to_clinic
from clinic.models import MODELS, Admission, Clinic, RecordRow
from clinic.reading import empty_value

Progress = Callable[[int], object]


class FolderInUse(Exception):
    """The folder holds something already: nothing is written over it."""


def export_folder(
    folder: Path, clinics: QuerySet[Clinic], progress: Progress = lambda rows: None
) -> dict[str, int]:
    """Rows written, by subject; the folder appears whole or not at all."""
    folder = folder.absolute()
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FolderInUse(f"{folder} exists and is not empty")
    with _appearing_whole(folder) as unfinished, consistent_read():
        standing = list(clinics.filter(withdrawn_at=None).order_by("code"))
        return {
            name: _write_file(unfinished / subject.file_name, subject, standing, progress)
            for name, subject in SUBJECTS.items()
        }


@contextmanager
def _appearing_whole(folder: Path) -> Iterator[Path]:
    """A neighbour folder that takes the name when all is written; a failure leaves nothing."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    unfinished = folder.with_name(f".{folder.name}.{uuid4().hex}")
    unfinished.mkdir()
    try:
        yield unfinished
        os.replace(unfinished, folder)  # an empty folder of that name gives way
    except BaseException:
        shutil.rmtree(unfinished, ignore_errors=True)
        raise


def _write_file(path: Path, subject: Subject, clinics: list[Clinic], progress: Progress) -> int:
    columns = _columns_written(subject, clinics)
    if not columns:
        return 0
    count = 0
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(csv_line(columns))
        for clinic in clinics:
            for line in _lines(subject, columns, clinic):
                file.write(line)
                count += 1
            progress(1)
        file.flush()
        os.fsync(file.fileno())
    return count


def _columns_written(subject: Subject, clinics: list[Clinic]) -> tuple[str, ...]:
    """An optional column, or file, stands in the folder only if it holds something."""
    path = path_to_clinic(MODELS[subject.name]) or "pk"
    mine = clinics if path != "pk" else [clinic.pk for clinic in clinics]
    rows = MODELS[subject.name].objects.filter(**{f"{path}__in": mine}, withdrawn_at=None)
    if subject.optional and not rows.exists():
        return ()
    unused = {
        column.name
        for column in subject
        if column.optional and not rows.exclude(**{column.name: empty_value(column)}).exists()
    }
    return tuple(name for name in file_columns(subject) if name not in unused)


def _lines(subject: Subject, columns: tuple[str, ...], clinic: Clinic) -> Iterator[str]:
    kinds = [ALL_COLUMNS[subject.name][name].kind for name in columns]
    zone: ZoneInfo = clinic.zone
    for row in _sorted_rows(MODELS[subject.name], columns, clinic):
        yield csv_line(cell_text(kind, value, zone) for kind, value in zip(kinds, row, strict=True))


def _sorted_rows(
    model: type[RecordRow], columns: tuple[str, ...], clinic: Clinic
) -> list[tuple[Any, ...]]:
    """Standing rows of one clinic, in an order that both databases and any load agree on."""
    lookups = {name: look for name, look in cell_lookups(model).items() if name in columns}
    path = path_to_clinic(model)
    mine = {path: clinic} if path else {"pk": clinic.pk}
    rows = model.objects.filter(**mine, withdrawn_at=None)
    names = list(lookups)
    keys = [at for at, name in enumerate(names) if ALL_COLUMNS[model.subject.name][name].key]
    found = rows.values_list(*lookups.values())
    if model is Admission:
        found = [_without_lost_link(row) for row in found.values_list(*lookups.values(), _LOST)]
    return sorted(found, key=lambda row: [row[at] for at in keys])


# An admission may outlive the episode it names; a file may not name what it does not hold.
_LOST = "peritonitis__withdrawn_at"


def _without_lost_link(row: tuple[Any, ...]) -> tuple[Any, ...]:
    *cells, episode, withdrawn_at = row
    return (*cells, "" if withdrawn_at else episode)
