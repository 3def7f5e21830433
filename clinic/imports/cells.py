"""Values back into the cells of a record file, so that reading them gives the same values."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, tzinfo
from decimal import Decimal
from typing import Any

from clinic.columns import Kind

_QUOTED = (",", '"', "\n", "\r")


def cell_text(kind: Kind, value: Any, zone: tzinfo) -> str:
    """A moment carries its offset, so that no change of clocks makes it two."""
    if value is None:
        return ""
    return _WRITERS.get(kind, _as_it_is)(value, zone)


def _as_it_is(value: Any, zone: tzinfo) -> str:
    return str(value)


def _moment(value: datetime, zone: tzinfo) -> str:
    exact = value.second or value.microsecond
    return value.astimezone(zone).isoformat(timespec="auto" if exact else "minutes")


def _number(value: float, zone: tzinfo) -> str:
    """Plain digits, as few as read back to the same number."""
    text = format(Decimal(repr(value)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


_WRITERS: dict[str, Callable[[Any, tzinfo], str]] = {
    "day": lambda value, zone: value.isoformat(),
    "moment": _moment,
    "number": _number,
}


def csv_line(cells: Iterable[str]) -> str:
    """One line of RFC 4180, ended by LF; a lone CR is quoted too, or it would end the line."""
    return ",".join(map(_quoted, cells)) + "\n"


def _quoted(cell: str) -> str:
    if any(mark in cell for mark in _QUOTED):
        return '"' + cell.replace('"', '""') + '"'
    return cell
