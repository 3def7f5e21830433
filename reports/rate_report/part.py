"""What a report is made of: parts with sentences, tables of typed fields, and pictures."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

Cells = dict[str, str]
Kind = Literal["text", "whole", "number"]
HIDDEN = "hidden"  # a small count that this reader may not have: neither missing nor zero


@dataclass(frozen=True)
class Field:
    """One column: its name, what it holds, and its head on paper ('' = not on paper)."""

    name: str
    kind: Kind
    means: str
    head: str = ""
    share: int = 2  # its share of a page's width


@dataclass(frozen=True)
class Table:
    """Rows of text cells; an empty cell is missing, `hidden` is hidden, 0 is zero."""

    name: str
    title: str
    fields: tuple[Field, ...]
    rows: list[Cells]
    note: str = ""
    shown: list[Cells] | None = None  # the same rows as people read them, where they differ

    @property
    def columns(self) -> tuple[str, ...]:
        return tuple(one.name for one in self.fields)

    @property
    def read(self) -> list[Cells]:
        return self.rows if self.shown is None else self.shown


@dataclass(frozen=True)
class Picture:
    """A drawing for paper, with its finding and its words for who cannot see it."""

    name: str
    title: str
    summary: str
    note: str
    svg: str


@dataclass(frozen=True)
class Part:
    """One of the thirteen parts; a part that this reader may not have says so in words."""

    number: int
    name: str
    title: str
    says: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class Report:
    """The one content that every shape is written from."""

    head: dict[str, str | int | None]
    parts: tuple[Part, ...] = field(default_factory=tuple)

    @property
    def tables(self) -> list[Table]:
        return [table for part in self.parts for table in part.tables]

    def table(self, name: str) -> Table | None:
        return next((table for table in self.tables if table.name == name), None)


def text(name: str, means: str, head: str = "", share: int = 2) -> Field:
    return Field(name, "text", means, head, share)


def whole(name: str, means: str, head: str = "", share: int = 2) -> Field:
    return Field(name, "whole", means, head, share)


def number(name: str, means: str, head: str = "", share: int = 2) -> Field:
    return Field(name, "number", means, head, share)


def typed(kind: Kind, cell: str) -> int | float | str | None:
    """A cell as its kind: none where it is missing, the word where it is hidden."""
    if kind == "text" or cell == HIDDEN:
        return cell
    if not cell:
        return None
    return int(cell) if kind == "whole" else float(cell)


def rows_of(values: Iterable[tuple[str, ...]], fields: tuple[Field, ...]) -> list[Cells]:
    """Rows given as tuples in the order of the fields."""
    names = [one.name for one in fields]
    return [dict(zip(names, row, strict=True)) for row in values]
