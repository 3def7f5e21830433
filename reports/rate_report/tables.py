"""Stored tables as text cells: what a recipient's files and lists are made of."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from reports.rate_report.pseudonyms import pseudonymised_cases, pseudonymised_ledger
from surveillance.models import Snapshot
from surveillance.snapshots import table_bytes

TABLES = ("measures", "cases", "days", "ledger")
TRAINER_SPLITS = ("trainer", "first_trainer")

Cells = dict[str, str]


@dataclass(frozen=True)
class TextTable:
    """A table as it was stored, cell for cell; nothing is read as a number."""

    columns: tuple[str, ...]
    rows: list[Cells]


@dataclass(frozen=True)
class Recipient:
    """Whom a file is made for: the same snapshot and recipient give the same bytes."""

    key: str  # salts the pseudonyms: a person's random id, or 'host'
    sees_trainers: bool  # rows divided by trainer are for dashboard.trainer_cohort alone
    sees_history: bool = False  # older periods than those that the report holds
    is_outside: bool = False  # no lists of single patients, small cells hidden


HOST = Recipient(key="host", sees_trainers=False, sees_history=True)


def stored_table(snapshot: Snapshot, table: str, period: str = "") -> TextTable:
    """The cells of one stored table."""
    return text_table(table_bytes(snapshot, table, period).decode())


def text_table(text: str) -> TextTable:
    """The cells of canonical CSV."""
    reader = csv.DictReader(io.StringIO(text, newline=""))
    return TextTable(tuple(reader.fieldnames or ()), list(reader))


def without_trainers(table: TextTable) -> TextTable:
    return TextTable(
        table.columns, [row for row in table.rows if row["split"] not in TRAINER_SPLITS]
    )


def _for_recipient(snapshot: Snapshot, name: str, table: TextTable, to: Recipient) -> TextTable:
    if name == "cases":
        return TextTable(*pseudonymised_cases(table.columns, table.rows, to.key))
    if name == "ledger":
        return TextTable(*pseudonymised_ledger(table.columns, table.rows, to.key))
    return table if to.sees_trainers else without_trainers(table)


def file_table(snapshot: Snapshot, name: str, period: str, to: Recipient) -> TextTable:
    """One table of one period as this recipient may have it: pseudonyms, months, own splits."""
    return _for_recipient(snapshot, name, stored_table(snapshot, name, period), to)


def joined(tables: list[TextTable]) -> TextTable:
    """Tables of the same columns, one below the other."""
    return TextTable(tables[0].columns, [row for table in tables for row in table.rows])
