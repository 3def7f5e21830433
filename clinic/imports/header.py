"""Checks a record file's header: every name known, none twice, none missing that is needed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import get_close_matches

from clinic.columns import Subject, file_columns
from clinic.imports.source import ALL_COLUMNS

# (code, the column it is about, what is wrong)
HeaderFault = tuple[str, str, str]


def header_faults(subject: Subject, header: Sequence[str]) -> Iterator[HeaderFault]:
    if len(header) == 1 and (mark := _separator(header[0])):
        yield "header_separator", "", f"separated by {mark} and not by comma"
        return
    known = file_columns(subject)
    for name in dict.fromkeys(header):
        if header.count(name) > 1:
            yield "column_twice", name, f"{name or 'a column without name'} appears twice"
        elif name not in known:
            yield "column_unknown", name, _unknown(name, known)
    for name in known:
        if name not in header and _needed(subject, name):
            yield "column_missing", name, f"column {name} missing"


def _separator(cell: str) -> str:
    for mark, said in ((";", ";"), ("\t", "tab"), ("|", "|")):
        if mark in cell:
            return said
    return ""


def _needed(subject: Subject, name: str) -> bool:
    """Without these no row can be told from another, or stored at all; the rest may be absent."""
    column = ALL_COLUMNS[subject.name][name]
    return column.key or column.required


def _unknown(name: str, known: Sequence[str]) -> str:
    if not name:
        return "a column without name"
    near = get_close_matches(name.strip().lower().replace(" ", "_"), known, 1, 0.5)
    return f"{name} is not known" + (f", did you mean {near[0]}" if near else "")
