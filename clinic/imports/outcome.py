"""What a load did, or would not do: counts, changes, warnings, and every fault."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from clinic.columns import SUBJECTS
from clinic.imports.places import Remark


@dataclass
class Outcome:
    """Of one load; nothing was stored if it has faults or was only a check."""

    rows: int = 0
    added: Counter[str] = field(default_factory=Counter)  # rows by subject
    changed: Counter[str] = field(default_factory=Counter)
    kept_cells: int = 0  # empty in the file, filled in the record
    withdrawn_rows: int = 0  # withdrawn by a person; a file never brings them back
    changes: list[Remark] = field(default_factory=list)
    warnings: list[Remark] = field(default_factory=list)
    faults: list[Remark] = field(default_factory=list)
    digests: dict[str, str] = field(default_factory=dict)
    check_only: bool = False

    @property
    def stored(self) -> bool:
        return not self.faults and not self.check_only

    @property
    def nothing_new(self) -> bool:
        return not self.added and not self.changed

    def sort(self) -> None:
        for remarks in (self.changes, self.warnings, self.faults):
            remarks.sort(key=lambda remark: remark.order)

    def summary(self) -> list[str]:
        """A few lines for people."""
        if self.faults:
            return [f"{_count(len(self.faults), 'fault')}; nothing was stored"]
        if self.nothing_new:
            told = [f"nothing new in {_count(self.rows, 'row')}"]
        else:
            verb = "would be " if self.check_only else ""
            told = [f"{verb}added: {_listed(self.added)}"] if self.added else []
            told += [f"{verb}changed: {_listed(self.changed)}"] if self.changed else []
        if self.kept_cells:
            told.append(f"kept: {_count(self.kept_cells, 'value')} that the files leave empty")
        if self.withdrawn_rows:
            told.append(f"left withdrawn: {_count(self.withdrawn_rows, 'row')}")
        return told

    def as_json(self) -> dict[str, Any]:
        return {
            "stored": self.stored,
            "check_only": self.check_only,
            "rows": self.rows,
            "added": dict(self.added),
            "changed": dict(self.changed),
            "kept_cells": self.kept_cells,
            "withdrawn_rows": self.withdrawn_rows,
            "sha256": self.digests,
            "changes": [remark.as_json() for remark in self.changes],
            "warnings": [remark.as_json() for remark in self.warnings],
            "faults": [remark.as_json() for remark in self.faults],
        }


def _count(number: int, thing: str) -> str:
    return f"{number:,} {thing}{'' if number == 1 else 's'}"


def _listed(counts: Counter[str]) -> str:
    return ", ".join(f"{counts[name]:,} {name}" for name in SUBJECTS if counts[name])
