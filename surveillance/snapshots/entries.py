"""How each case came into the record, as one more table of a snapshot: frozen, moving no figure."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

import pandas as pd

from surveillance.snapshots.cut import CutTable
from surveillance.table_text import table_text
from surveillance.tables import ENTRIES

Cells = dict[str, str]
Key = tuple[str, str, str]


def entries_table(entries: Sequence[Cells], tables: Sequence[CutTable]) -> CutTable:
    """The entries behind the case rows of the whole range; what the method does not see waits.

    Test: tests/surveillance/snapshots/test_entries.py.
    """
    clinics = _cases(tables)
    rows = [own | {"clinic": clinics[_key(own)]} for own in entries if _key(own) in clinics]
    rows.sort(key=_key)
    names = [column.name for column in ENTRIES]
    frame = pd.DataFrame(
        {name: pd.Categorical([row[name] or None for row in rows]) for name in names}
    )
    return CutTable("entries", "", len(rows), table_text("entries", frame).encode())


def _key(row: Cells) -> Key:
    return row["patient"], row["kind"], row["episode"]


def _cases(tables: Sequence[CutTable]) -> dict[Key, str]:
    """The clinic of each case row; the rows of both sites are one infection."""
    whole = next(one for one in tables if (one.table, one.period) == ("cases", ""))
    rows = csv.DictReader(io.StringIO(whole.content.decode(), newline=""))
    return {
        (row["patient"], kind_of_entry(row["kind"]), row["episode"]): row["clinic"] for row in rows
    }


def kind_of_entry(kind: str) -> str:
    return "peritonitis" if kind == "peritonitis" else "catheter_infection"
