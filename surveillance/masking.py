"""Small cells hidden once, on counts, before page, chart and file part ways."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

HIDDEN = "hidden"
Cell = int | str


@dataclass(frozen=True)
class MaskedRow:
    shown: list[Cell]  # the row, then its total; HIDDEN where a person could be recognised


def _can_be_told(row: Sequence[int], hidden: set[int]) -> bool:
    """Whether the total gives a hidden cell back: one alone, or all of them as small as can be."""
    return bool(hidden) and (len(hidden) == 1 or sum(row[i] for i in hidden) <= len(hidden))


def _next_to_hide(row: Sequence[int], hidden: set[int]) -> int | None:
    """The smallest cell still shown; a zero only where nothing else is left."""
    shown = [i for i in range(len(row)) if i not in hidden]
    return min(shown, key=lambda i: (row[i] == 0, row[i], i), default=None)


def small_cells(
    row: Sequence[int], total: int | None = None, hide_from: int = 1, hide_to: int = 4
) -> MaskedRow:
    """A row of counts with its small cells hidden, and as many more as keep them hidden.

    row: counts of 0 or more; total: their published sum, None if none is published; cells from
    hide_from to hide_to are hidden, zero is shown. The total is hidden only where no other cell
    is left to hide. Source: statistics.md 2.18; worked examples suppress-01, suppress-03.
    """
    if any(count < 0 for count in row):
        raise ValueError(f"counts are 0 or more, not {list(row)}")
    hidden = {i for i, count in enumerate(row) if hide_from <= count <= hide_to}
    hide_total = False
    while total is not None and _can_be_told(row, hidden) and not hide_total:
        further = _next_to_hide(row, hidden)
        hide_total = further is None
        hidden |= set() if further is None else {further}
    cells: list[Cell] = [HIDDEN if i in hidden else count for i, count in enumerate(row)]
    if total is not None:
        cells.append(HIDDEN if hide_total else total)
    return MaskedRow(cells)
