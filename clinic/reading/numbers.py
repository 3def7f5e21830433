"""Reads a number: plain digits, a point, the unit of the column; nothing is converted silently."""

from __future__ import annotations

import re

from clinic.columns import Column
from clinic.reading.faults import CellFault, CellWarning, Offers
from clinic.reading.limits import LARGEST_CELLS_1E9_PER_L, LEUCOCYTES_HIGH_PER_UL
from clinic.reading.words import thousands

_PLAIN = re.compile(r"-?\d{1,15}(?:\.\d{1,15})?", re.ASCII)
_WHOLE = re.compile(r"-?\d{1,15}", re.ASCII)
_GROUPED = re.compile(r"\d{1,3}(?:[,_' \u00a0\u2009\u202f]\d{3})+")
_COMMA = re.compile(r"-?\d+,\d+", re.ASCII)
_TOO_LONG = re.compile(r"-?\d{16,}(?:\.\d*)?", re.ASCII)


def read_number(column: Column, text: str) -> float:
    if not _PLAIN.fullmatch(text):
        raise CellFault("number_form", _how_to_write(column, text))
    value = float(text)
    _require_within(column, value)
    return value


def read_whole(column: Column, text: str) -> int:
    if _WHOLE.fullmatch(text):
        value = int(text)
        _require_within(column, value)
        return value
    if _PLAIN.fullmatch(text):
        raise _not_whole(column, float(text))
    raise CellFault("number_form", _how_to_write(column, text))


def _how_to_write(column: Column, text: str) -> str:
    if not text.isascii() and any(character.isdigit() for character in text if character > "~"):
        return "digits 0-9"
    if _TOO_LONG.fullmatch(text):
        return "too large"
    if column.kind == "number" and _COMMA.fullmatch(text):
        return f"write {text.replace(',', '.')}"
    if _GROUPED.fullmatch(text):
        return f"digits only: write {re.sub(r'[^0-9]', '', text)}"
    return "not a number; digits 0-9, no sign for thousands, no unit"


def _not_whole(column: Column, value: float) -> CellFault:
    """A laboratory's 0.65 x10^9/L in a field that is per µL: asked, never multiplied silently."""
    if column.name == "leucocytes_per_ul" and 0 < value <= LARGEST_CELLS_1E9_PER_L:
        per_ul = round(value * 1000)
        offers: Offers = ((f"{per_ul} per µL", str(per_ul)),)
        sentence = f"whole cells per uL; {value:g} x10^9/L is {per_ul} per uL"
        return CellFault("cells_unit", sentence, question=True, offers=offers)
    nearest = f"; write {value:.0f}" if value.is_integer() else ""
    return CellFault("number_whole", f"a whole number{nearest}")


def _require_within(column: Column, value: float) -> None:
    low, above, high = column.minimum, column.above, column.maximum
    if high is not None and value > high and column.name in _TOO_HIGH:
        raise CellFault("number_range", _TOO_HIGH[column.name](value, high))
    too_low = low is not None and value < low or above is not None and value <= above
    if too_low or (high is not None and value > high):
        raise CellFault("number_range", _range(column))


def _range(column: Column) -> str:
    if column.above is not None:
        return f"above {column.above:g}"
    setting = "" if column.unit == "%" else " (setting)"
    return f"{thousands(column.minimum or 0)} to {thousands(column.maximum or 0)}{setting}"


def _long_dwell(value: float, high: float) -> str:
    return f"hours; {value:g} minutes are {value / 60:.3g} hours (0 to {high:g}, setting)"


def _many_cells(value: float, high: float) -> str:
    return f"above {thousands(high)} per uL (setting); per mL or per litre?"


_TOO_HIGH = {"dwell_hours": _long_dwell, "leucocytes_per_ul": _many_cells}


def unusual_number(column: Column, value: float) -> CellWarning | None:
    """What is accepted but looks like another unit."""
    if column.name == "leucocytes_per_ul" and value >= LEUCOCYTES_HIGH_PER_UL:
        limit = thousands(LEUCOCYTES_HIGH_PER_UL)
        sentence = f"{thousands(value)} per uL is very high ({limit} or more, setting)"
        return CellWarning("cells_high", sentence, question=True)
    if column.name == "neutrophil_percent" and 0 < value < 1:
        whole = f"{value * 100:g}"
        sentence = f"{value:g} percent? {whole} would be written {whole}"
        offers = ((f"{whole} %", whole), (f"{value:g} %", f"{value:g}"))
        return CellWarning("percent_as_share", sentence, question=True, offers=offers)
    return None
