"""What a column and a subject of the record are; clinic/columns.py declares each of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "text", "note", "day", "moment", "yes_no", "choice", "several", "number", "whole", "organism"
]

YES_NO = ("yes", "no", "unknown")


@dataclass(frozen=True)
class Column:
    """One field of the record; `name` ends with its unit where it has one."""

    name: str
    kind: Kind
    meaning: str  # one sentence for the data dictionary
    ask: str  # the label a nurse reads beside the field
    required: bool = False
    key: bool = False  # with its siblings names the row; twice in a folder is a fault
    choices: tuple[str, ...] = ()
    minimum: float | None = None
    above: float | None = None  # a bound the value itself may not reach
    maximum: float | None = None
    unit: str = ""
    optional: bool = False  # written to a record file only if some row has a value
    to_come: bool = False  # a plan: it may lie after today

    @property
    def allowed(self) -> str:
        """What a person may write here, as the data dictionary and every error message say it."""
        return _ALLOWED[self.kind](self)


def _number_allowed(column: Column) -> str:
    noun = "whole number" if column.kind == "whole" else "number"
    if column.above is not None:
        return f"a {noun} above {column.above:g}"
    if column.maximum is not None:
        return f"a {noun} from {column.minimum or 0:g} to {column.maximum:g}"
    return f"a {noun}"


_ALLOWED = {
    "text": lambda column: "text",
    "note": lambda column: "text of several lines",
    "several": lambda column: f"any of {', '.join(column.choices)}, joined by ;",
    "day": lambda column: "a day as YYYY-MM-DD",
    "moment": lambda column: (
        "a date and time as YYYY-MM-DDTHH:MM (clinic time unless it says +HH:MM)"
    ),
    "yes_no": lambda column: "yes, no, unknown",
    "choice": lambda column: ", ".join(column.choices),
    "number": _number_allowed,
    "whole": _number_allowed,
    "organism": lambda column: "a scientific name, another name or an NCBI taxonomy id",
}


@dataclass(frozen=True)
class Subject:
    """One subject of the record: a file, a model, a form."""

    name: str  # the record file's name without .csv
    one: str  # one row of it, as people say it
    parent: str  # the subject a row belongs to; empty for clinics
    columns: tuple[Column, ...]
    order: tuple[tuple[str, str], ...] = ()  # pairs (earlier, later); equal is allowed
    optional: bool = False  # its record file is written only if there is a row

    @property
    def file_name(self) -> str:
        return f"{self.name}.csv"

    @property
    def key_columns(self) -> tuple[Column, ...]:
        return tuple(column for column in self.columns if column.key)

    def column(self, name: str) -> Column:
        return next(column for column in self.columns if column.name == name)

    def __iter__(self) -> Iterator[Column]:
        return iter(self.columns)
