"""A cloudy-bag call: every step is saved, the first one opens a suspected episode."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from django.db import transaction

from clinic.actions.audit import Actor
from clinic.actions.writing import amend, new_row, store
from clinic.clock import now
from clinic.lineage import clinic_of
from clinic.models import Call, Patient, Peritonitis, Person

_TOLD = "Told in the call."


def open_call(
    *,
    patient: Patient,
    by: Actor | Person,
    episode: str,
    values: Mapping[str, Any],
    uid: uuid.UUID | None = None,
) -> Call:
    """The call and its suspected episode; onset is the day of the call until another is told."""
    called_at = now().replace(second=0, microsecond=0)
    day = called_at.astimezone(clinic_of(patient).zone).date()
    opened = new_row(
        Peritonitis,
        parent=patient,
        values={"episode": episode, "onset_on": day, "found_by": "clinic"},
    )
    call = new_row(Call, parent=opened, values={"called_at": called_at, **values}, uid=uid)
    store([opened, call], by=by)
    return call


def answer_call(
    call: Call,
    *,
    by: Actor | Person,
    versions: tuple[int, int],
    values: Mapping[str, Any],
    episode: Mapping[str, Any],
) -> Call:
    """What was told, at the call and at its episode; the first cloudy bag is the day of onset."""
    opened, told = call.peritonitis, dict(episode)
    if first := values.get("first_cloudy_at"):
        told["onset_on"] = first.astimezone(clinic_of(call).zone).date()
    with transaction.atomic():
        amend(opened, by=by, version=versions[1], values=told, reason=_TOLD)
        return amend(call, by=by, version=versions[0], values=values, reason=_TOLD)
