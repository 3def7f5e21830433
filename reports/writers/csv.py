# ruff: noqa: A005  named after the format that it writes, read only by its full path
"""Rows in, CSV bytes out: the canonical text, and cells that no spreadsheet runs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

# A spreadsheet takes a cell that begins so for a formula, or passes over the blank before one.
_BEGINS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
_NUMBER = re.compile(r"-?\d+(\.\d+)?([eE][+-]?\d+)?")
_NEEDS_QUOTES = re.compile(r'[",\r\n]')
LINE_FEED, RFC_4180 = "\n", "\r\n"  # as the tables are stored; as the RFC has it


def harmless(text: str) -> str:
    """The cell with an apostrophe before what would be run; numbers stay as they are."""
    if text.startswith(_BEGINS_FORMULA) and not _NUMBER.fullmatch(text):
        return f"'{text}"
    return text


def _cell(text: str) -> str:
    """A changed cell is quoted too, so that it stays one cell of text."""
    safe = harmless(text)
    if safe != text or _NEEDS_QUOTES.search(safe):
        return '"' + safe.replace('"', '""') + '"'
    return safe


def csv_lines(
    columns: Sequence[str], rows: Iterable[Mapping[str, str]], line_end: str = LINE_FEED
) -> Iterator[bytes]:
    """The header row, then row by row: no more than one is held."""
    yield (",".join(columns) + line_end).encode()
    for row in rows:
        yield (",".join(_cell(row[column]) for column in columns) + line_end).encode()


def csv_bytes(
    columns: Sequence[str], rows: Iterable[Mapping[str, str]], line_end: str = LINE_FEED
) -> bytes:
    """A header row and the rows: UTF-8, commas, quotes only where needed."""
    return b"".join(csv_lines(columns, rows, line_end))
