"""Cuts a result into the tables that are stored: one a period, and the lists whole as well."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from surveillance.periods import Period, day_number, parse_period
from surveillance.snapshots.records import records_of
from surveillance.table_text import table_text
from surveillance.text_columns import days_as_text

if TYPE_CHECKING:
    import pandas as pd

    from surveillance.tables import Result


@dataclass(frozen=True)
class CutTable:
    """One table of one period ('' = the whole range) as canonical CSV."""

    table: str
    period: str
    rows: int
    content: bytes


def cut_tables(
    result: Result, estimates: pd.DataFrame | None = None, signals: pd.DataFrame | None = None
) -> list[CutTable]:
    """Measures, days and estimates by period; cases by onset, the ledger clipped to each longer
    period; signals whole, since their windows follow no calendar."""
    measures = _by_period("measures", result.measures)
    spans = [period for one in measures if (period := parse_period(one.period)).kind != "month"]
    return [
        *measures,
        *_by_period("days", result.days),
        *([] if estimates is None else _by_period("estimates", estimates)),
        *_cut_cases(result.cases, spans),
        *_cut_ledger(result.ledger, spans),
        *([] if signals is None else [_cut("signals", "", *_lines("signals", signals))]),
    ]


def _lines(table: str, frame: pd.DataFrame) -> tuple[str, list[str]]:
    header, *records = records_of(table_text(table, frame))
    return header, records


def _cut(table: str, period: str, header: str, records: list[str]) -> CutTable:
    text = "\n".join([header, *records]) + "\n"
    return CutTable(table, period, len(records), text.encode())


def _by_period(table: str, frame: pd.DataFrame) -> list[CutTable]:
    header, records = _lines(table, frame)
    found: dict[str, list[str]] = {}
    for period, record in zip(frame["period"], records, strict=True):
        found.setdefault(period, []).append(record)
    return [_cut(table, period, header, own) for period, own in found.items()]


def _days(column: pd.Series[Any]) -> Any:
    """Days since 1970-01-01 of a column of ISO days."""
    known = column.cat.categories.to_numpy().astype("M8[D]").astype(np.int64)
    return known[column.cat.codes.to_numpy()]


def _bounds(period: Period) -> tuple[int, int]:
    return day_number(period.start), day_number(period.last_day)


def _cut_cases(frame: pd.DataFrame, spans: list[Period]) -> list[CutTable]:
    header, records = _lines("cases", frame)
    onset = _days(frame["onset_on"])
    cuts = [_cut("cases", "", header, records)]
    for period in spans:
        first, last = _bounds(period)
        rows = np.flatnonzero((onset >= first) & (onset <= last))
        cuts.append(_cut("cases", period.text, header, [records[row] for row in rows]))
    return cuts


def _cut_ledger(frame: pd.DataFrame, spans: list[Period]) -> list[CutTable]:
    """All clipped stretches are written at once: a call for each period would cost more."""
    header, records = _lines("ledger", frame)
    started, ended = _days(frame["started_on"]), _days(frame["last_day_on"])
    bounds = [_bounds(period) for period in spans]
    rows = [np.flatnonzero((started <= last) & (ended >= first)) for first, last in bounds]
    cuts = [_cut("ledger", "", header, records)]
    _, pieces = _lines("ledger", _clipped(frame, rows, bounds)) if rows else ("", [])
    stops = np.cumsum([len(own) for own in rows])
    for period, own, stop in zip(spans, rows, stops, strict=True):
        cuts.append(_cut("ledger", period.text, header, pieces[stop - len(own) : stop]))
    return cuts


def _clipped(frame: pd.DataFrame, rows: list[Any], bounds: list[tuple[int, int]]) -> pd.DataFrame:
    """The stretches of each period in turn, cut off at its first and last day."""
    row = np.concatenate(rows)
    first, last = np.repeat(np.array(bounds), [len(own) for own in rows], axis=0).T
    start = np.maximum(_days(frame["started_on"])[row], first)
    end = np.minimum(_days(frame["last_day_on"])[row], last)
    clipped = frame.iloc[row].reset_index(drop=True)
    return clipped.assign(
        started_on=days_as_text(start), last_day_on=days_as_text(end), days=end - start + 1
    )
