"""A peritonitis episode as a nurse meets it: the episode, its first sample, what grew."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from clinic.actions.audit import Actor
from clinic.actions.writing import new_row, store
from clinic.models import EffluentSample, Isolate, Patient, Peritonitis, Person


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
    """All of it or nothing: up to three rows and their events, checked together."""
    made = new_row(Peritonitis, parent=patient, values=episode, uid=uid)
    rows = [made]
    if sample:
        rows.append(new_row(EffluentSample, parent=made, values=sample))
        if isolate:
            rows.append(new_row(Isolate, parent=rows[-1], values=isolate))
    store(rows, by=by, reason=reason)
    return made
