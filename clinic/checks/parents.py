"""Faults of rows that hang on nothing: a sample without its episode, an isolate of no sample."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import tzinfo

from clinic.catalogue import name_key, scientific_name
from clinic.checks.rows import CheckRow, Finding, PatientRows, fault
from clinic.columns import SUBJECTS, parent_keys

_NOWHERE = "not in this folder and not in the record"


def organism_key(text: str) -> str:
    """Two names of one organism lead to one key, so that a result finds its isolate."""
    return name_key(scientific_name(text))


def _key(row: CheckRow, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(organism_key(row[name]) if name == "organism" else row[name] for name in names)


def rows_without_parent(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for name, subject_rows in rows.items():
        subject = SUBJECTS[name]
        if subject.parent not in ("clinics", "patients", ""):
            keys = parent_keys(subject)[2:]
            parents = {_key(row, keys) for row in rows.get(subject.parent, ())}
            for row in subject_rows:
                if _key(row, keys) not in parents:
                    yield _orphan(row, keys[-1], SUBJECTS[subject.parent].one)
    yield from _admissions(rows)


def _orphan(row: CheckRow, field: str, parent: str) -> Finding:
    said = f"{parent} {row[field]} is {_NOWHERE}"
    if field == "organism":
        said = f"not an isolate of {row['sample']}: {said}"
    return fault("without_parent", said, (row, field))


def _admissions(rows: PatientRows) -> Iterator[Finding]:
    episodes = {row["episode"] for row in rows.get("peritonitis", ())}
    for row in rows.get("admissions", ()):
        if row["episode"] and row["episode"] not in episodes:
            yield _orphan(row, "episode", SUBJECTS["peritonitis"].one)
