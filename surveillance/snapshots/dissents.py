"""Dissents as one more table of a snapshot: frozen with the figures, changing none of them."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

import pandas as pd

from surveillance.snapshots.cut import CutTable
from surveillance.table_text import table_text
from surveillance.tables import DISSENTS

if TYPE_CHECKING:
    Said = dict[str, str]


def dissents_table(said: Sequence[Said], tables: Sequence[CutTable]) -> CutTable:
    """What was said of each peritonitis case of the whole range, beside its derived category.

    A dissent from an episode that the method does not see (no onset up to `as_of`) waits.
    """
    cases = _peritonitis(tables)
    rows = [
        case | own for own in said if (case := cases.get((own["patient"], own["episode"])))
    ]  # fmt: skip
    rows.sort(key=lambda row: (row["onset_on"], row["patient"], row["episode"]))
    names = [column.name for column in DISSENTS]
    frame = pd.DataFrame(
        {name: pd.Categorical([row[name] or None for row in rows]) for name in names}
    )
    return CutTable("dissents", "", len(rows), table_text("dissents", frame).encode())


def _peritonitis(tables: Sequence[CutTable]) -> dict[tuple[str, str], Said]:
    whole = next(one for one in tables if (one.table, one.period) == ("cases", ""))
    rows = csv.DictReader(io.StringIO(whole.content.decode(), newline=""))
    return {(row["patient"], row["episode"]): row for row in rows if row["kind"] == "peritonitis"}
