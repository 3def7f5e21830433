"""What a reader hands to the loader: tables of text cells, whoever sent them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from clinic.columns import SUBJECTS, Column, Subject, parent_keys
from clinic.imports.places import Place, Remark

# A row's number, the line on which it begins, its cells in the order of the table's columns.
RawRow = tuple[int, int, tuple[str, ...]]


@dataclass
class Table:
    """The rows of one subject, still text."""

    subject: Subject
    columns: tuple[str, ...]
    rows: list[RawRow]
    name: str = ""  # as messages call it

    def place(self, row: RawRow) -> Place:
        return Place(self.name or self.subject.file_name, row[0], row[1])


@dataclass
class Source:
    """All tables of one load, what was wrong with them before any cell was read, and their digests.

    `lost` holds, by subject, the texts of rows that could not be read as rows, so that what hangs
    on them is not called an orphan as well; None stands for a whole table.
    """

    tables: dict[str, Table] = field(default_factory=dict)
    faults: list[Remark] = field(default_factory=list)
    warnings: list[Remark] = field(default_factory=list)
    digests: dict[str, str] = field(default_factory=dict)  # SHA-256 of each file as read
    lost: dict[str, set[str] | None] = field(default_factory=dict)
    changed: Callable[[], list[Remark]] = list  # asked last: what changed while it was read

    @property
    def row_count(self) -> int:
        return sum(len(table.rows) for table in self.tables.values())

    def lose(self, subject: str, cells: tuple[str, ...]) -> None:
        texts = self.lost.setdefault(subject, set())
        if texts is not None:
            texts.update(cell.strip() for cell in cells)

    def is_lost(self, subject: str, text: str) -> bool:
        texts = self.lost.get(subject, frozenset())
        return texts is None or text in texts


def _parent_column(name: str) -> Column:
    if name == "organism":
        return Column(name, "organism", "The isolate it belongs to.", "Organism", True, True)
    meaning = f"The {name} that the row belongs to, by the clinic's own name or number."
    return Column(name, "text", meaning, name.capitalize(), required=True, key=True)


def all_columns(subject: Subject) -> tuple[Column, ...]:
    """Every column of the subject's file: whose row it is, then its own."""
    return (*map(_parent_column, parent_keys(subject)), *subject.columns)


ALL_COLUMNS: dict[str, dict[str, Column]] = {
    name: {column.name: column for column in all_columns(subject)}
    for name, subject in SUBJECTS.items()
}
