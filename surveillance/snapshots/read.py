"""Reads stored tables: the very bytes, or typed rows; a page reads only the periods it shows."""

from __future__ import annotations

import csv
import hashlib
import io
import zlib
from collections.abc import Iterator
from functools import cache
from itertools import groupby
from typing import Any

from surveillance.models import Snapshot, SnapshotTable
from surveillance.periods import Period, parse_period
from surveillance.snapshots.records import cells_of, records_of

# Tables stored period by period only; their rows of one stretch of days sort by these columns.
BY_PERIOD = {
    "measures": ("measure", "split", "band"),
    "days": ("split", "band"),
    "estimates": ("name", "split", "band", "method"),
}


class NoSuchTable(LookupError):
    """The snapshot holds no such table for such a period."""


class Damaged(Exception):
    """Stored bytes differ from their digest: nothing is shown."""


def stored_bytes(stored: SnapshotTable) -> bytes:
    content = zlib.decompress(stored.content)
    if hashlib.sha256(content).hexdigest() != stored.sha256:
        raise Damaged(f"The stored table {stored.table} {stored.period} is damaged: compute again")
    return content


def table_bytes(snapshot: Snapshot, table: str, period: str = "") -> bytes:
    """The canonical CSV of one period, or of the whole range where `period` is empty."""
    if not period and table in BY_PERIOD:
        return b"".join(whole_table(snapshot, table))
    stored = snapshot.tables.filter(table=table, period=period).first()
    if stored is None:
        raise NoSuchTable(f"{table} {period}")
    return stored_bytes(stored)


def table_rows(snapshot: Snapshot, table: str, period: str = "") -> list[dict[str, Any]]:
    """The same rows with whole numbers, numbers and texts; an empty cell is None."""
    return typed_rows(table, table_bytes(snapshot, table, period).decode())


def undivided_rows(snapshot: Snapshot, period: str) -> dict[str, dict[str, Any]]:
    """The undivided measure rows of a period, by measure."""
    rows = table_rows(snapshot, "measures", period)
    return {row["measure"]: row for row in rows if not row["split"]}


def typed_rows(table: str, text: str) -> list[dict[str, Any]]:
    header, *lines = csv.reader(io.StringIO(text, newline=""))
    kinds = [_kinds(table).get(name, str) for name in header]
    return [
        {
            name: kind(cell) if cell else None
            for name, kind, cell in zip(header, kinds, line, strict=True)
        }
        for line in lines
    ]


@cache
def _kinds(table: str) -> dict[str, type]:
    types = {"whole": int, "number": float}
    return {column.name: types.get(column.kind, str) for column in _columns(table)}


def _columns(table: str) -> tuple[Any, ...]:
    from surveillance.tables import WRITTEN_TABLES  # brings pandas, which few requests need

    return WRITTEN_TABLES[table]


@cache
def header_of(table: str) -> str:
    return ",".join(column.name for column in _columns(table)) + "\n"


def _in_time(period: Period) -> tuple[Any, ...]:
    return period.start, period.last_day


def periods(snapshot: Snapshot, table: str = "measures") -> list[str]:
    """Every period that has rows, in the order of the canonical tables."""
    texts = snapshot.tables.filter(table=table).values_list("period", flat=True)
    return [period.text for period in sorted(map(parse_period, texts), key=_order)]


def _order(period: Period) -> tuple[Any, ...]:
    return *_in_time(period), period.text


def whole_table(snapshot: Snapshot, table: str) -> Iterator[bytes]:
    """The canonical CSV of the whole range: its header row, then pieces of its rows.

    In pieces, so that no more than one has to be held.
    """
    yield header_of(table).encode()
    if table not in BY_PERIOD:
        yield _body(table_bytes(snapshot, table))
        return
    for _, same_days in groupby(map(parse_period, periods(snapshot, table)), key=_in_time):
        pieces = [_body(table_bytes(snapshot, table, period.text)) for period in same_days]
        yield _merged(table, pieces)


def _body(content: bytes) -> bytes:
    return content.partition(b"\n")[2]


def _merged(table: str, bodies: list[bytes]) -> bytes:
    """Rows of periods of the very same days (a year, and the four quarters to its end)."""
    if len(bodies) == 1:
        return bodies[0]
    names = header_of(table).rstrip().split(",")
    columns = [names.index(name) for name in (*BY_PERIOD[table], "period")]
    records = [record for body in bodies for record in records_of(body.decode()) if record]
    cells = map(cells_of, records)
    keys = [[own[column] for column in columns] for own in cells]
    return "".join(f"{record}\n" for _, record in sorted(zip(keys, records, strict=True))).encode()
