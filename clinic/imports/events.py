"""The audit events of a load: one a clinic with counts and digests, one a row that it changed."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from clinic.actions.audit import Actor, write_event
from clinic.imports.changes import Change
from clinic.models import Clinic, Person


@dataclass
class ClinicEvents:
    clinic: Clinic
    added: Counter[str] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    changes: list[dict[str, Any]] = field(default_factory=list)  # arguments of write_event


@dataclass
class Events:
    """Written last, so that no clinic's chain is held while the others load."""

    by: Actor | Person
    digests: dict[str, str]
    of_clinic: dict[str, ClinicEvents] = field(default_factory=dict)

    def _of(self, clinic: Clinic) -> ClinicEvents:
        return self.of_clinic.setdefault(clinic.code, ClinicEvents(clinic))

    def add(self, clinic: Clinic, subject: str, rows: int) -> None:
        self._of(clinic).added[subject] += rows

    def change(self, clinic: Clinic, change: Change, patient_uid: UUID | None) -> None:
        events, where = self._of(clinic), change.stored.where
        events.changed[where.subject] += 1
        cells = {name: list(pair) for name, pair in change.cells.items()}
        events.changes.append(
            {"thing": where.subject, "thing_uid": where.uid, "patient_uid": patient_uid,
             "changes": cells}
        )  # fmt: skip

    def write(self) -> None:
        for _, events in sorted(self.of_clinic.items()):
            for change in events.changes:
                write_event(
                    clinic=events.clinic, by=self.by, verb="amend", **change, reason="record files"
                )
            self._write_load(events)

    def _write_load(self, events: ClinicEvents) -> None:
        changes = {
            "sha256": self.digests,
            "added": dict(events.added),
            "changed": dict(events.changed),
        }
        write_event(
            clinic=events.clinic, by=self.by, verb="load", thing="record_files", changes=changes
        )
