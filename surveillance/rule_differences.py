"""Where two rule sets differ on one clinic's stored measures, as canonical CSV."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pandas as pd

from surveillance.measures.difference import difference
from surveillance.models import Snapshot
from surveillance.rules import RULE_SETS
from surveillance.snapshots import periods, table_rows
from surveillance.table_text import table_text
from surveillance.tables import RESULT_TABLES

_NUMBERS = [
    column.name for column in RESULT_TABLES["measures"] if column.kind in ("whole", "number")
]


class NotTheSameRecord(Exception):
    """The two computations read different states of the record: nothing can be compared."""


def require_same_record(snapshots: Sequence[Snapshot], others: Sequence[Snapshot]) -> None:
    """Refuses pairs that differ by more than their rule set."""
    for one, other in zip(snapshots, others, strict=True):
        names = ("clinic_id", "through", "as_of", "data_version")
        if any(getattr(one, name) != getattr(other, name) for name in names):
            raise NotTheSameRecord(
                f"{one.clinic.code}: {one.rule_set} and {other.rule_set} were computed of "
                "different days or records"
            )


def difference_bodies(
    snapshots: Sequence[Snapshot], others: Sequence[Snapshot], period: str = ""
) -> Iterator[str]:
    """The rows that differ, without a header, clinic by clinic; none for an unknown period."""
    for one, other in zip(snapshots, others, strict=True):
        if not period or period in periods(one):
            yield _body(one, other, period)


def _body(one: Snapshot, other: Snapshot, period: str) -> str:
    rules, against = RULE_SETS[one.rule_set], RULE_SETS[other.rule_set]
    rows = difference(_measures(one, period), _measures(other, period), rules, against)
    return table_text("difference", rows).partition("\n")[2]


def _measures(snapshot: Snapshot, period: str) -> pd.DataFrame:
    """Stored measure rows; an empty text is a text, a missing number is none."""
    rows = table_rows(snapshot, "measures", period)
    cells = {
        column.name: [row[column.name] for row in rows] for column in RESULT_TABLES["measures"]
    }
    texts = {name for name in cells if name not in _NUMBERS}
    made = {name: pd.Series(cells[name], dtype="float64") for name in _NUMBERS}
    made |= {
        name: pd.Series([cell or "" for cell in cells[name]], dtype="object") for name in texts
    }
    return pd.DataFrame(made)
