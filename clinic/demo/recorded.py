"""Gives the demonstration's rows the moments at which they were entered, which no file can say."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.db import connection, transaction

from clinic.checks.stored_rows import cell_lookups
from clinic.columns import SUBJECTS, parent_keys
from clinic.demo.record_folder import Row, Rows
from clinic.models import MODELS

Key = tuple[Any, ...]


@transaction.atomic
def set_recorded(rows: Rows, zone: ZoneInfo) -> None:
    """Only here, only in the demonstration: a real row's moment is the database's own clock."""
    for subject, made in rows.items():
        if subject != "clinics" and made:
            _set(subject, made, zone)


def _set(subject: str, made: list[Row], zone: ZoneInfo) -> None:
    model = MODELS[subject]
    column = connection.ops.quote_name("recorded_at")
    table = connection.ops.quote_name(model._meta.db_table)
    moments = {_key(subject, row, zone): row["recorded_at"] for row in made}
    found = [
        (connection.ops.adapt_datetimefield_value(moments[key].replace(tzinfo=zone)), pk)  # type: ignore[union-attr,arg-type,call-arg]
        for pk, key in _stored(subject)
        if key in moments
    ]
    with connection.cursor() as cursor:
        cursor.executemany(f"UPDATE {table} SET {column} = %s WHERE id = %s", found)


def _names(subject: str) -> tuple[str, ...]:
    own = tuple(column.name for column in SUBJECTS[subject].key_columns)
    return (*parent_keys(SUBJECTS[subject]), *own)


def _key(subject: str, row: Row, zone: ZoneInfo) -> Key:
    return tuple(_comparable(row.get(name) or "", zone) for name in _names(subject))


def _stored(subject: str) -> Iterator[tuple[int, Key]]:
    model, names = MODELS[subject], _names(subject)
    lookups = cell_lookups(model)
    paths = [lookups.get(name, name) for name in names]
    for pk, *cells in model.objects.values_list("pk", *paths).iterator():  # type: ignore[attr-defined]
        yield pk, tuple(_comparable(cell, None) for cell in cells)


def _comparable(cell: object, zone: ZoneInfo | None) -> object:
    """A moment as an instant, whatever zone it was written in."""
    if isinstance(cell, datetime):
        return (cell if zone is None else cell.replace(tzinfo=zone)).timestamp()
    return cell.isoformat() if isinstance(cell, date) else cell
