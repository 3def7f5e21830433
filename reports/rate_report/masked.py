"""What readers outside the clinic get of the stored rows: masked once, before any shape is made."""

from __future__ import annotations

from reports.rate_report.tables import (
    TRAINER_SPLITS,
    Cells,
    TextTable,
    stored_table,
    without_trainers,
)
from surveillance.masking import masked_rows
from surveillance.models import Snapshot


def masked_measures(divided: list[Cells], undivided: list[Cells]) -> list[Cells]:
    """Divided rows of calendar years with small counts hidden; none by trainer."""
    return masked_rows([row for row in divided if row["split"] not in TRAINER_SPLITS], undivided)


def masked_estimates(rows: list[Cells]) -> list[Cells]:
    """Undivided estimates alone: of a divided one the count could be worked back."""
    return [row for row in rows if not row["split"]]


def masked_table(snapshot: Snapshot, period: str) -> TextTable:
    """One period's measure rows: undivided plain, divided (masked) of a calendar year alone."""
    table = without_trainers(stored_table(snapshot, "measures", period))
    undivided = [row for row in table.rows if not row["split"]]
    divided = [row for row in table.rows if row["split"]] if len(period) == 4 else []
    by_place = {_place(row): row for row in [*undivided, *masked_rows(divided, undivided)]}
    kept = [by_place[_place(row)] for row in table.rows if _place(row) in by_place]
    return TextTable(table.columns, kept)


def _place(row: Cells) -> tuple[str, str, str]:
    return row["measure"], row["split"], row["band"]
