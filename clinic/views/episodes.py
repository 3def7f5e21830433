"""A new peritonitis episode: the signs, the first sample and what grew, on one page."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from clinic.actions.episodes import record_episode
from clinic.actions.refusals import Refused
from clinic.actions.submissions import once
from clinic.forms.first_contact import FirstContact
from clinic.models import Patient, Peritonitis, Person
from clinic.views.access import reader_row, require
from clinic.views.around import around, home_of

# The method's verdict on an episode that is not stored: it stands above the record.
Preview = Callable[[Patient, Person, dict[str, Any]], dict[str, Any]]


@require_http_methods(["GET", "HEAD", "POST"])
def new_episode(
    request: HttpRequest, clinic_uid: UUID, uid: UUID, preview: Preview
) -> HttpResponse:
    rows = Patient.objects.filter(withdrawn_at=None)
    patient = reader_row(request, "patient.read", clinic_uid, rows, uid)
    require(request, "episode.record", patient)
    forms = FirstContact(patient=patient, by=request.user, data=request.POST or None)
    context = {"forms": forms, **around(patient), "page_name": "Episode"}
    if "check" in request.POST:
        context["preview"] = _preview(request, forms, patient, preview)
    elif (
        request.method == "POST" and forms.is_valid() and (made := _record(request, forms, patient))
    ):
        messages.success(
            request, "Episode saved. The verdict below is read from what is known now."
        )
        return redirect(home_of(made))
    status = 422 if forms.is_bound and forms.has_errors else 200
    return render(request, "clinic/pages/new_episode.html", context, status=status)


def _preview(
    request: HttpRequest, forms: FirstContact, patient: Patient, preview: Preview
) -> dict[str, Any] | None:
    """What the method would say of what is typed so far; nothing is stored."""
    if not forms.is_valid():
        return None
    try:
        return preview(patient, request.user, forms.values)
    except Refused as refused:
        forms.add_refusal(refused)
        return None


def _record(request: HttpRequest, forms: FirstContact, patient: Patient) -> Peritonitis | None:
    values: dict[str, Any] = forms.values
    make = partial(record_episode, patient=patient, by=request.user, **values)
    try:
        return once(
            by=request.user, key=forms.episode.submission_key, subject="peritonitis",
            sent=values, make=lambda uid: make(uid=uid),
        )  # fmt: skip
    except Refused as refused:
        forms.add_refusal(refused)
        return None
