"""Lays the rows of a folder over the stored rows of one patient: what is new, what differs.

Empty cells never erase; what a person wrote is never overwritten; what a person withdrew stays so.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from clinic.checks import CheckRow
from clinic.checks.parents import organism_key
from clinic.columns import SUBJECTS, Subject, parent_keys
from clinic.imports.changes import Change
from clinic.imports.places import Remark
from clinic.imports.tell import conflict_remark, said

Key = tuple[Any, ...]


@dataclass
class Merged:
    """One patient's rows as they would stand, and what has to be written for that."""

    patient: str
    rows: dict[str, list[CheckRow]] = field(default_factory=dict)
    new: dict[str, list[CheckRow]] = field(default_factory=dict)
    changes: list[Change] = field(default_factory=list)
    kept_cells: int = 0
    withdrawn_rows: int = 0
    faults: list[Remark] = field(default_factory=list)
    unkeyed: list[CheckRow] = field(default_factory=list)  # without a readable name: dropped

    @property
    def nothing_new(self) -> bool:
        return not self.new and not self.changes


def own_key(subject: Subject, row: CheckRow) -> Key:
    """What tells the row from the patient's others: its parents' names and its own."""
    names = _KEY_NAMES[subject.name]
    return tuple([row.values[name] for name in names])


def parent_key(subject: Subject, row: CheckRow) -> Key:
    return tuple([row.values[name] for name in parent_keys(subject)[2:]])


_KEY_NAMES = {
    name: (*parent_keys(subject)[2:], *(column.name for column in subject.key_columns))
    for name, subject in SUBJECTS.items()
}


def merge_patient(
    patient: str, given: dict[str, list[CheckRow]], stored: dict[str, list[CheckRow]]
) -> Merged:
    """`stored` holds withdrawn rows too."""
    merged = Merged(patient)
    gone: dict[str, set[Key]] = {}
    for name, subject in SUBJECTS.items():
        if name in given or name in stored:
            _merge_subject(subject, given.get(name, ()), stored.get(name, ()), merged, gone)
    return merged


def _merge_subject(
    subject: Subject,
    given: Iterable[CheckRow],
    stored: Iterable[CheckRow],
    merged: Merged,
    gone: dict[str, set[Key]],
) -> None:
    standing: dict[Key, CheckRow] = {}
    withdrawn = gone.setdefault(subject.name, set())
    for row in stored:
        if row.where.withdrawn_at is None:
            _settle_links(row, merged, gone)
            standing[own_key(subject, row)] = row
        else:
            withdrawn.add(own_key(subject, row))
    withdrawn -= standing.keys()
    seen: dict[Key, CheckRow] = {}
    for row in given:
        if _is_unkeyed(subject, row):
            merged.unkeyed.append(row)
            continue
        _settle_links(row, merged, gone)
        key = own_key(subject, row)
        if key in seen:
            merged.faults.append(_twice(subject, row, seen[key]))
        elif key in withdrawn or _parent_is_gone(subject, row, gone):
            merged.withdrawn_rows += 1
        else:
            seen[key] = row
            _lay_over(subject, row, standing.get(key), merged)
    untouched = [row for key, row in standing.items() if key not in seen]
    merged.rows.setdefault(subject.name, []).extend(untouched)


def _is_unkeyed(subject: Subject, row: CheckRow) -> bool:
    faulty = row.where.faulty
    return bool(faulty) and any(name in faulty for name in _KEY_NAMES[subject.name])


def _parent_is_gone(subject: Subject, row: CheckRow, gone: dict[str, set[Key]]) -> bool:
    withdrawn = gone.get(subject.parent)
    return bool(withdrawn) and parent_key(subject, row) in withdrawn


def _settle_links(row: CheckRow, merged: Merged, gone: dict[str, set[Key]]) -> None:
    """A result finds its isolate by any name of the organism; a withdrawn episode has no link."""
    if row.subject == "susceptibilities":
        row.values["organism"] = _isolate_name(row, merged.rows.get("isolates", ()))
    elif row.subject == "admissions" and (row["episode"],) in gone.get("peritonitis", ()):
        row.values["episode"] = ""


def _isolate_name(row: CheckRow, isolates: Iterable[CheckRow]) -> str:
    text = row["organism"]
    names = [
        isolate["organism"]
        for isolate in isolates
        if (isolate["episode"], isolate["sample"]) == (row["episode"], row["sample"])
    ]
    if text in names:
        return text
    same = [name for name in names if organism_key(name) == organism_key(text)]
    return same[0] if same else text


def _twice(subject: Subject, row: CheckRow, first: CheckRow) -> Remark:
    names = [column.name for column in subject.key_columns] or [parent_keys(subject)[-1]]
    told = ", ".join(f"{name} {said(row[name])}" for name in names)
    place = first.where.place
    sentence = f"the same {told} as row {place.row} (line {place.line})"
    different = [
        f"{name} {said(first[name])} and {said(row[name])}"
        for name in row.values
        if row[name] != first[name]
    ]
    if different:
        sentence += f", with {', '.join(different)}"
    return row.where.remark(names[0], "key_twice", sentence, "one row each")


def _lay_over(subject: Subject, row: CheckRow, stored: CheckRow | None, merged: Merged) -> None:
    rows = merged.rows.setdefault(subject.name, [])
    rows.append(row)
    if stored is None:
        merged.new.setdefault(subject.name, []).append(row)
        return
    cells: dict[str, tuple[Any, Any]] = {}
    for column in subject.columns:
        name = column.name
        old, new = stored.values[name], row.values[name]
        if new == old:
            continue
        if new in ("", None):
            row.values[name] = old
            merged.kept_cells += name not in row.where.faulty
        elif name in stored.where.hand_columns:
            merged.faults.append(conflict_remark(row, stored, name))
        else:
            cells[name] = (old, new)
    row.changed = bool(cells)
    if cells:
        merged.changes.append(Change(stored, row, cells))
