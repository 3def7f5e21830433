"""The latest results of many clinics as one file, clinic by clinic, so that memory stays flat."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator
from datetime import date

from surveillance.models import Snapshot
from surveillance.periods import Period, parse_period
from surveillance.snapshots import periods, table_bytes, whole_table
from surveillance.snapshots.read import header_of, typed_rows
from surveillance.snapshots.records import cells_of, records_of
from surveillance.tables import WRITTEN_TABLES

TABLES = tuple(WRITTEN_TABLES)
FORMATS = ("csv", "json")


def bodies(snapshot: Snapshot, table: str, period: str = "") -> Iterator[str]:
    """A clinic's rows as canonical CSV without a header, in pieces; none for an unknown period,
    nor of a table that a version stored by older software has not."""
    if not snapshot.tables.filter(table=table).exists():
        return
    if not period:
        pieces = whole_table(snapshot, table)
        next(pieces)  # the header
        yield from (piece.decode() for piece in pieces)
    elif period in periods(snapshot, "measures" if table in _CUTS else table):
        yield _of_period(snapshot, table, parse_period(period))


def _of_period(snapshot: Snapshot, table: str, period: Period) -> str:
    # Lists are not stored by month, signals and the few dissents by no period at all.
    if table in _CUTS and (period.kind == "month" or table in ("dissents", "signals")):
        return _CUTS[table](table_bytes(snapshot, table).decode(), period)
    return table_bytes(snapshot, table, period.text).decode().partition("\n")[2]


def _cases_of(text: str, period: Period) -> str:
    first, last = period.start.isoformat(), period.last_day.isoformat()
    header, *records = records_of(text)
    onset = cells_of(header).index("onset_on")
    return "".join(f"{one}\n" for one in records if first <= cells_of(one)[onset] <= last)


def _ledger_of(text: str, period: Period) -> str:
    """Each stretch clipped to the period, with the days that are left of it."""
    first, last = period.start.isoformat(), period.last_day.isoformat()
    out = io.StringIO(newline="")
    rows = csv.DictReader(io.StringIO(text, newline=""))
    writer = csv.DictWriter(out, rows.fieldnames or (), lineterminator="\n")
    for row in rows:
        start, end = max(row["started_on"], first), min(row["last_day_on"], last)
        if start <= end:
            days = (date.fromisoformat(end) - date.fromisoformat(start)).days + 1
            writer.writerow(row | {"started_on": start, "last_day_on": end, "days": days})
    return out.getvalue()


def _signals_of(text: str, period: Period) -> str:
    """The rows whose window ends in the period."""
    first, last = period.start.isoformat(), period.last_day.isoformat()
    header, *records = records_of(text)
    end = cells_of(header).index("window_end")
    return "".join(f"{one}\n" for one in records if first <= cells_of(one)[end] <= last)


_CUTS = {
    "cases": _cases_of,
    "dissents": _cases_of,
    "ledger": _ledger_of,
    "signals": _signals_of,
}


def csv_text(table: str, bodies: Iterable[str]) -> Iterator[str]:
    yield header_of(table)
    yield from bodies


def json_text(table: str, bodies: Iterable[str]) -> Iterator[str]:
    """An array of one object a row; whole numbers and numbers as such, an empty cell as null."""
    header, before = header_of(table), "[\n"
    for body in bodies:
        for row in typed_rows(table, header + body):
            yield before + json.dumps(row, ensure_ascii=False, allow_nan=False)
            before = ",\n"
    yield "[]\n" if before == "[\n" else "\n]\n"


WRITERS = {"csv": csv_text, "json": json_text}
