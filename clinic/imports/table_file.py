"""Splits a record file's text into rows of cells, and knows row numbers from line numbers."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Iterator

from clinic.columns import Subject, file_columns
from clinic.imports.header import header_faults
from clinic.imports.places import Place, Remark
from clinic.imports.source import RawRow, Source, Table


def read_table(subject: Subject, text: str, source: Source) -> None:
    """Adds the file's rows to the source, or its faults."""
    name = subject.file_name
    lines = _lines(text)
    try:
        _, line, header = next(lines)
    except (StopIteration, csv.Error):
        _whole(source, subject, "header", "no header row that can be read")
        return
    header = tuple(cell.strip() for cell in header)
    faults = list(header_faults(subject, header))
    if faults:
        source.lost[subject.name] = None
        allowed = ", ".join(file_columns(subject))
        place = Place(name)
        source.faults += [
            Remark(place, "", column, said, allowed, code) for code, column, said in faults
        ]
        return
    source.tables[subject.name] = Table(
        subject, header, list(_rows(lines, source, subject, header))
    )


def _whole(source: Source, subject: Subject, code: str, said: str) -> None:
    source.lost[subject.name] = None
    source.faults.append(Remark(Place(subject.file_name), "", "", said, code=code))


def _lines(text: str) -> Iterator[RawRow]:
    """Rows as they stand, without blank ones: (number, first line, cells); the header is row 0."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    row, before, intern = 0, 0, sys.intern
    for cells in reader:
        if any(cells) and (len(cells) > 1 or cells[0].strip()):
            yield row, before + 1, tuple(map(intern, cells))
            row += 1
        before = reader.line_num


def _rows(
    lines: Iterator[RawRow], source: Source, subject: Subject, header: tuple[str, ...]
) -> Iterator[RawRow]:
    """Rows with as many cells as the header; the others become faults."""
    width, last = len(header), 0
    short: RawRow | None = None  # told when it is known whether it was the last
    try:
        for row in lines:
            last = row[0]
            if short:
                _misshapen(source, subject, short, width)
                short = None
            if len(row[2]) == width:
                yield row
            elif len(row[2]) < width:
                short = row
            else:
                _misshapen(source, subject, row, width)
        if short:
            _misshapen(source, subject, short, width, last=True)
    except csv.Error as error:
        _broken_quotes(source, subject, last + 1, error)


def _misshapen(
    source: Source, subject: Subject, row: RawRow, width: int, *, last: bool = False
) -> None:
    number, line, cells = row
    if len(cells) > width:
        said = f"{len(cells)} cells, {width} columns; quote text that holds a comma"
    else:
        said = f"has {len(cells)} cells of {width}"
        said += ", the file seems cut off" if last else ""
    source.lose(subject.name, cells)
    place = Place(subject.file_name, number, line)
    source.faults.append(Remark(place, "", "", said, code="row_shape"))


def _broken_quotes(source: Source, subject: Subject, row: int, error: csv.Error) -> None:
    source.lost[subject.name] = None
    said = f"from row {row} on: a quote that is not closed, or not doubled ({error})"
    place = Place(subject.file_name)
    source.faults.append(Remark(place, "", "", said, 'a quote inside text is written ""', "quotes"))
