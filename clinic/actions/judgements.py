"""What a named person says beside the record: a dissent, a warning settled; no figure moves."""

from __future__ import annotations

from django.db import transaction

from clinic.actions.audit import write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_reason, require_right
from clinic.clock import now
from clinic.lineage import clinic_of
from clinic.models import Clinic, Dissent, Peritonitis, Person, SettledGap
from clinic.models.judgements import CATEGORIES


def record_dissent(*, episode: Peritonitis, by: Person, category: str, reason: str) -> Dissent:
    """The derived category and its rule stay; both are shown."""
    require_right(by, "episode.override_class", episode)
    require_reason(reason)
    if category not in CATEGORIES:
        raise refuse("category", f"Choose one of {', '.join(CATEGORIES)}.")
    with transaction.atomic():
        made = Dissent.objects.create(
            episode=episode, by=by, category=category, reason=reason.strip(), at=now()
        )
        write_event(
            clinic=clinic_of(episode), by=by, verb="dissent", thing="peritonitis",
            thing_uid=episode.uid, patient_uid=episode.patient.uid, reason=reason.strip(),
            changes={"category": [None, category]},
        )  # fmt: skip
    return made


def settle_gap(*, clinic: Clinic, by: Person, key: str, sentence: str, reason: str) -> SettledGap:
    """Looked at and left as it is; what changes in the rows makes it a new warning."""
    require_reason(reason)
    with transaction.atomic():
        made, is_new = SettledGap.objects.get_or_create(
            clinic=clinic, key=key,
            defaults={"by": by, "sentence": sentence, "reason": reason.strip()},
        )  # fmt: skip
        if is_new:
            write_event(
                clinic=clinic, by=by, verb="settle", thing="gap", reason=reason.strip(),
                changes={"warning": [sentence, "settled"]},
            )  # fmt: skip
    return made
