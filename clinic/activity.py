"""What a person read, wrote and downloaded: their own lines of the trail, the latest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from clinic.models import AuditEvent, Clinic, Patient, Person
from clinic.roles import clinics_where

LATEST = 100


@dataclass(frozen=True)
class Line:
    """One line as the page draws it; patients by number only where they may be read now."""

    at: datetime
    did: str
    where: str
    patients: str


def activity_of(person: Person) -> list[Line]:
    events = AuditEvent.objects.filter(by=person).select_related("chain__clinic")
    latest = list(events.order_by("-at", "-pk")[:LATEST])
    readable = {str(clinic.uid): clinic for clinic in clinics_where(person, "patient.read")}
    numbers = _numbers(latest, readable)
    return list(_lines(latest, readable, numbers))


def _lines(
    events: list[AuditEvent], readable: dict[str, Clinic], numbers: dict[str, str]
) -> Iterator[Line]:
    for event in events:
        seen = _patients(event)
        known = [numbers[uid] for uid in seen if uid in numbers]
        hidden = len(seen) - len(known)
        told = [*sorted(known), *([f"{hidden} no longer open to you"] if hidden else [])]
        clinic = event.chain.clinic or readable.get(str(event.changes.get("clinic")))
        where = str(clinic) if clinic and str(clinic.uid) in readable else ""
        page = event.changes.get("page", "")
        what = page if event.verb == "read" else event.thing
        yield Line(event.at, f"{event.verb} {what}".replace("_", " "), where, ", ".join(told))


def _patients(event: AuditEvent) -> list[str]:
    listed = event.changes.get("patients")
    if isinstance(listed, list) and event.verb == "read":
        return listed
    return [str(event.patient_uid)] if event.patient_uid else []


def _numbers(events: list[AuditEvent], readable: dict[str, Clinic]) -> dict[str, str]:
    uids = {UUID(uid) for event in events for uid in _patients(event)}
    rows = Patient.objects.filter(clinic__in=readable.values(), uid__in=uids)
    return {str(uid): number for uid, number in rows.values_list("uid", "number")}
