"""Where something stands in a record file, and the one form in which every fault is told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from clinic.columns import SUBJECTS
from clinic.reading import shown

_FILE_ORDER = {subject.file_name: number for number, subject in enumerate(SUBJECTS.values())}


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A row of a file: its number among the rows, and the line on which it begins."""

    file: str
    row: int = 0  # 0: the whole file
    line: int = 0

    def __str__(self) -> str:
        return f"{self.file} row {self.row} (line {self.line})" if self.row else self.file


@dataclass(frozen=True, slots=True)
class Remark:
    """A fault, a warning or a change: file, row, column, value, what is said, what is allowed."""

    place: Place
    column: str
    value: str
    sentence: str
    allowed: str = ""
    code: str = ""
    others: tuple[str, ...] = ()  # the other places that have a part in it

    def __str__(self) -> str:
        at = f"{self.place}, {self.column}: {shown(self.value)}" if self.column else f"{self.place}"
        also = f" (see {'; '.join(self.others)})" if self.others else ""
        allowed = f"; allowed: {self.allowed}" if self.allowed else ""
        return f"{at} - {self.sentence}{also}{allowed}"

    @property
    def order(self) -> tuple[Any, ...]:
        known = _FILE_ORDER.get(self.place.file, len(_FILE_ORDER))
        return (known, self.place, self.column, self.sentence)

    def as_json(self) -> dict[str, Any]:
        return {
            "file": self.place.file,
            "row": self.place.row or None,
            "line": self.place.line or None,
            "column": self.column,
            "value": shown(self.value),
            "sentence": self.sentence,
            "allowed": self.allowed,
            "code": self.code,
            "others": list(self.others),
        }
