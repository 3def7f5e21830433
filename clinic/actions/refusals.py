"""Why a write is refused: content at fault, or somebody else wrote first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from clinic.models import AuditEvent, RecordRow


@dataclass(frozen=True)
class Fault:
    """What is wrong with one field (or, with no field, with the whole) and what is allowed."""

    field: str
    sentence: str
    subject: str = ""  # of the row that the field is of, where several are written at once


class Refused(Exception):
    """The content is at fault: nothing was stored."""

    def __init__(self, *faults: Fault) -> None:
        super().__init__("; ".join(fault.sentence for fault in faults))
        self.faults: Sequence[Fault] = faults


class Conflict(Exception):
    """Somebody changed the row after it was read: both texts are shown, a person decides."""

    def __init__(self, row: RecordRow) -> None:
        super().__init__(f"{row.subject.one} was changed meanwhile")
        self.row = row

    @property
    def changed_by(self) -> str:
        latest = AuditEvent.objects.filter(thing_uid=self.row.uid).order_by("number").last()
        return latest.actor if latest else "somebody"


def refuse(field: str, sentence: str) -> Refused:
    return Refused(Fault(field, sentence))
