"""A peritonitis episode as a nurse meets it: the episode, its first sample, what grew."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from django.db import transaction

from clinic.actions.audit import Actor
from clinic.actions.subjects import record_isolate, record_peritonitis, record_sample
from clinic.models import Patient, Peritonitis, Person


def record_episode(
    *,
    patient: Patient,
    by: Actor | Person,
    episode: Mapping[str, Any],
    sample: Mapping[str, Any] | None = None,
    isolate: Mapping[str, Any] | None = None,
    reason: str = "",
    uid: uuid.UUID | None = None,
) -> Peritonitis:
    """All of it or nothing: three rows, three events, one transaction."""
    with transaction.atomic():
        made = record_peritonitis(parent=patient, by=by, values=episode, reason=reason, uid=uid)
        if sample:
            drawn = record_sample(parent=made, by=by, values=sample, reason=reason)
            if isolate:
                record_isolate(parent=drawn, by=by, values=isolate, reason=reason)
    return made
