"""What readers outside the clinic get of the stored rows: masked once, before any shape is made."""

from __future__ import annotations

from reports.rate_report.tables import TRAINER_SPLITS, Cells
from surveillance.masking import masked_rows


def masked_measures(divided: list[Cells], undivided: list[Cells]) -> list[Cells]:
    """Divided rows of calendar years with small counts hidden; none by trainer."""
    return masked_rows([row for row in divided if row["split"] not in TRAINER_SPLITS], undivided)


def masked_estimates(rows: list[Cells]) -> list[Cells]:
    """Undivided estimates alone: of a divided one the count could be worked back."""
    return [row for row in rows if not row["split"]]
