"""Which capability each write of the record needs, and the reason it asks for."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from datetime import timedelta

from django.core.exceptions import PermissionDenied
from django.utils import timezone

from clinic.actions.audit import Actor
from clinic.actions.refusals import refuse
from clinic.blinding import JUDGEMENT, is_hidden
from clinic.lineage import clinic_of
from clinic.models import AuditEvent, Person, RecordRow
from clinic.roles import can, clinics_where, conditions, grants_now

REASON_CHARACTERS = 10  # visible ones; access.csv, condition: reason
OWN_WITHDRAWAL = timedelta(hours=24)  # access.csv, training.withdraw
# What a director may judge on an episode; the rest is the nurse's and the data manager's.
JUDGED = frozenset({"judged_source", "judged_refractory", "resolved"})

# Rows below are filed under these names, in record files too: a name once given stays.
_NAMES = {"peritonitis": "episode", "effluent_samples": "sample"}


@dataclass(frozen=True)
class Rights:
    """Capabilities of one subject: to read, to record, to amend, to withdraw."""

    read: str
    record: str
    amend: str
    withdraw: str


_PATIENT = Rights("patient.read", "patient.record", "patient.amend", "patient.withdraw")
_SPELL = Rights("spell.read", "spell.write", "spell.write", "spell.withdraw")
_CATHETER = Rights("catheter.read", "catheter.write", "catheter.write", "catheter.withdraw")
_TRAINING = Rights("training.read", "training.write", "training.write", "training.withdraw")
_EPISODE = Rights("episode.read", "episode.record", "episode.amend", "episode.withdraw")
_SAMPLE = Rights("sample.read", "sample.write", "sample.write", "sample.withdraw")
# access.csv names no capability to withdraw these two: who writes them may take them back.
_ADMISSION = Rights("admission.read", "admission.write", "admission.write", "admission.write")
_CONTAMINATION = Rights(
    "contamination.read", "contamination.write", "contamination.write", "contamination.write"
)

_OBSERVATION = Rights("technique_observation.read", *["technique_observation.write"] * 3)
# access.csv names no capability to read these checks: who reads the patient reads them.
_EXIT_SITE_CHECK = Rights("patient.read", *["exit_site_check.write"] * 3)
_ROOT_CAUSE = Rights("root_cause.read", *["root_cause.write"] * 3)

RIGHTS: dict[str, Rights] = {
    "patients": _PATIENT,
    "pd_spells": _SPELL,
    "pd_pauses": _SPELL,
    "catheters": _CATHETER,
    "trainings": _TRAINING,
    "peritonitis": _EPISODE,
    "catheter_infections": _EPISODE,
    "effluent_samples": _SAMPLE,
    "isolates": _SAMPLE,
    "susceptibilities": _SAMPLE,
    "admissions": _ADMISSION,
    "contaminations": _CONTAMINATION,
    "calls": _EPISODE,
    "therapies": _EPISODE,
    "root_cause_reviews": _ROOT_CAUSE,
    "exit_site_checks": _EXIT_SITE_CHECK,
    "technique_observations": _OBSERVATION,
}


def require_right(by: Actor | Person, capability: str, thing: RecordRow) -> None:
    """The table decides for a person; the host's commands and the schedule have no web role."""
    if isinstance(by, Person) and not can(by, capability, thing):
        raise PermissionDenied(f"{by.name} may not do this ({capability}).")


def require_reason(reason: str) -> None:
    if visible_characters(reason) < REASON_CHARACTERS:
        raise refuse("reason", "Say why in a few words (at least 10 characters).")


def visible_characters(text: str) -> int:
    """Letters, digits, marks and signs; blanks and control characters do not count."""
    return sum(unicodedata.category(character)[0] not in "CZ" for character in text)


def asks_reason(by: Actor | Person, capability: str, thing: RecordRow) -> bool:
    return isinstance(by, Person) and "reason" in conditions(by, capability, thing)


def fields_open_to(by: Actor | Person, row: RecordRow) -> frozenset[str]:
    """Columns of the row that this actor may amend; a director judges episodes and no more."""
    everything = frozenset(column.name for column in row.subject) - {_NAMES.get(row.subject.name)}
    if not isinstance(by, Person) or RIGHTS[row.subject.name].amend != "episode.amend":
        return everything
    if is_hidden(row, by):  # who is to judge blindly neither sees nor changes the first judgement
        everything -= JUDGEMENT
    here = clinics_where(by, "episode.record").filter(pk=clinic_of(row).pk)
    return everything if here.exists() else everything & JUDGED


def amendable(by: Person, row: RecordRow) -> frozenset[str]:
    """Columns of the row that a form may offer this person; none without the right."""
    allowed = can(by, RIGHTS[row.subject.name].amend, row)
    return fields_open_to(by, row) if allowed else frozenset()


def require_own_and_recent(by: Actor | Person, row: RecordRow) -> None:
    """A nurse takes back her own training of the last 24 hours; older is the data manager's."""
    if row.subject.name != "trainings" or not isinstance(by, Person):
        return
    roles = {grant.role for grant in grants_now(by) if grant.clinic_id == clinic_of(row).pk}
    recent = timezone.now() - row.recorded_at <= OWN_WITHDRAWAL
    if "data_manager" not in roles and not (recent and _recorded(by, row)):
        raise PermissionDenied("Older than a day, or another's entry: ask the data manager.")


def _recorded(by: Person, row: RecordRow) -> bool:
    return AuditEvent.objects.filter(thing_uid=row.uid, verb="record", by=by).exists()
