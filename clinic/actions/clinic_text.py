"""A clinic's own wording and due schedule: each saving is a new version, the latest holds."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from clinic.actions.audit import write_event
from clinic.actions.rights import require_reason, require_right
from clinic.clinic_text import wording_of
from clinic.models import Clinic, ClinicText, Person

_FIELDS = (
    "tell", "send_at_once", "reassessment_days", "exit_site_check_days", "retraining_days",
    "long_stay_days",
)  # fmt: skip


def amend_clinic_text(*, clinic: Clinic, by: Person, reason: str, **values: Any) -> ClinicText:
    require_right(by, "clinic_text.amend", clinic)
    require_reason(reason)
    with transaction.atomic():
        before = wording_of(clinic)
        made = ClinicText.objects.create(clinic=clinic, by=by, **values)
        changes = {name: [getattr(before, name), getattr(made, name)] for name in _FIELDS}
        write_event(
            clinic=clinic, by=by, verb="amend", thing="clinic_text", reason=reason.strip(),
            changes={name: pair for name, pair in changes.items() if pair[0] != pair[1]},
        )  # fmt: skip
    return made
