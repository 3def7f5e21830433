"""A few fields of an episode at the moment they are known: arrival, decision, closing, outcome."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from clinic.actions import writing
from clinic.actions.refusals import Conflict, Refused
from clinic.actions.rights import fields_open_to
from clinic.clock import now
from clinic.forms.amend_form import AmendForm
from clinic.lineage import clinic_of
from clinic.models import Peritonitis
from clinic.views.access import require
from clinic.views.around import home_of
from clinic.views.row_page import form_page, row_in_sight


@dataclass(frozen=True)
class Part:
    """Which fields, under which sentence, and what is said when they are saved."""

    fields: tuple[str, ...]
    finding: str
    said: str


PARTS = {
    "arrival": Part(
        ("presented_at", "first_antibiotic_at"),
        "{} is here.",
        "Arrival saved. Enter the sample next.",
    ),
    "decision": Part(
        ("catheter_decision", "catheter_decided_on"),
        "The catheter of {}: what is decided?",
        "Decision saved. A removal itself is written at the catheter.",
    ),
    "closing": Part(
        ("closed_as", "closed_because"),
        "Nothing more will come of this episode of {}.",
        "Closed. The criteria alone decide the figures.",
    ),
    "outcome": Part(
        ("therapy_completed_on", "resolved", "judged_refractory", "judged_source"),
        "How did this episode of {} end?",
        "Outcome saved. The verdict below is read from what is known now.",
    ),
}


@require_http_methods(["GET", "HEAD", "POST"])
def episode_part(request: HttpRequest, clinic_uid: UUID, uid: UUID, name: str) -> HttpResponse:
    part = PARTS[name]
    row = row_in_sight(request, "episode.read", clinic_uid, "peritonitis", uid)
    require(request, "episode.record", row)
    form, conflict = _form(request, part, row), None
    if request.method == "POST" and form.is_valid():
        try:
            if _stored(request, form, row):
                messages.success(request, part.said)
                return redirect(home_of(row))
        except Conflict as raised:
            conflict, form = raised, form.beside(raised.row)
    context = {"form": form, "verb": "Amend", "row": row, "conflict": conflict}
    context["finding"] = part.finding.format(row.patient.number)
    return form_page(request, "clinic/pages/row_form.html", row, Peritonitis, context)


def _form(request: HttpRequest, part: Part, row: Peritonitis) -> AmendForm:
    only = fields_open_to(request.user, row).intersection(part.fields)
    form = AmendForm(row=row, clinic=clinic_of(row), only=only, data=request.POST or None)
    if "presented_at" in part.fields and row.presented_at is None:  # who arrives, arrives now
        form.initial["presented_at"] = now().replace(second=0, microsecond=0)
    return form


def _stored(request: HttpRequest, form: AmendForm, row: Peritonitis) -> bool:
    try:
        writing.amend(
            row, by=request.user, version=form.cleaned_data["version"],
            values=form.typed, reason=form.given_reason,
        )  # fmt: skip
    except Refused as refused:
        form.add_refusal(refused)
    return form.is_valid()
