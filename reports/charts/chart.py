"""What every chart gives back: finding, summary, table, drawing and figure of the same numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

Row = dict[str, Any]
Cell = str | int | float | None


@dataclass(frozen=True)
class Chart:
    """One chart; `rows` are unrounded, `shown_rows` the same as people read them."""

    name: str
    title: str  # the finding as a sentence
    summary: str  # for who cannot see the drawing
    note: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    shown_rows: tuple[tuple[str, ...], ...]
    svg: str
    svg_narrow: str
    figure: dict[str, Any]  # plotly: data and layout
    leads: tuple[str, ...] = ()  # where each row of the table leads; '' = nowhere
    row_columns: tuple[str, ...] = ()  # heads of `rows` where they are not `columns`
    links: tuple[tuple[str, str], ...] = ()  # further links below: words, address


Lead = Callable[[Row], str]  # the address of a row's own rows; '' where there is none to open


def nowhere(row: Row) -> str:
    """A picture that leaves the page leads nowhere."""
    return ""


def exact(value: float | int | str | None) -> str | None:
    """A number as it is stored, for the data- attribute of its shape."""
    return None if value is None else str(value)
