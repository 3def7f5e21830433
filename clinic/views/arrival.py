"""The patient of a call has come: arrival and first antibiotic, kept at the episode."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from clinic.actions import writing
from clinic.actions.refusals import Conflict, Refused
from clinic.clock import now
from clinic.forms.amend_form import AmendForm
from clinic.lineage import clinic_of
from clinic.models import Peritonitis
from clinic.views.access import require
from clinic.views.around import home_of
from clinic.views.row_page import form_page, row_in_sight

_FIELDS = ("presented_at", "first_antibiotic_at")


@require_http_methods(["GET", "HEAD", "POST"])
def arrival(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    """Asked of the episode; the arrival is proposed as this minute until one is stored."""
    row = row_in_sight(request, "episode.read", clinic_uid, "peritonitis", uid)
    require(request, "episode.record", row)
    form = AmendForm(row=row, clinic=clinic_of(row), only=_FIELDS, data=request.POST or None)
    if row.presented_at is None:
        form.initial["presented_at"] = now().replace(second=0, microsecond=0)
    if request.method == "POST" and form.is_valid() and _stored(request, form, row):
        messages.success(request, "Arrival saved. Enter the sample next.")
        return redirect(home_of(row))
    context = {"form": form, "verb": "Amend", "row": row, "page_name": "Call"}
    context["finding"] = f"{row.patient.number} is here."
    return form_page(request, "clinic/pages/row_form.html", row, Peritonitis, context)


def _stored(request: HttpRequest, form: AmendForm, row: Peritonitis) -> bool:
    try:
        writing.amend(
            row, by=request.user, version=form.cleaned_data["version"],
            values=form.typed, reason=form.given_reason,
        )  # fmt: skip
    except Refused as refused:
        form.add_refusal(refused)
    except Conflict as conflict:
        form.add_error(None, f"{conflict.changed_by} changed it meanwhile: open it again.")
    return form.is_valid()
