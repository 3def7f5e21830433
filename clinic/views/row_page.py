"""What the pages that write one row share: the row in sight, the page around its form, its word."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from clinic.blinding import open_to
from clinic.exit_site import calls_for_infection, finding, score_text
from clinic.forms.record_form import plain_words
from clinic.lineage import clinic_of
from clinic.models import MODELS, ExitSiteCheck, RecordRow
from clinic.views.access import reader_row
from clinic.views.around import around, home_of


def row_in_sight(
    request: HttpRequest, capability: str, clinic_uid: UUID, subject: str, uid: UUID
) -> Any:
    rows = open_to(MODELS[subject].objects.filter(withdrawn_at=None), request.user)
    return reader_row(request, capability, clinic_uid, rows, uid)


def form_page(
    request: HttpRequest, template: str, row: RecordRow, model: type[RecordRow], context: dict
) -> HttpResponse:
    """The form about this row; 422 says that what was sent could not be taken."""
    form, conflict = context["form"], context.get("conflict")
    status = 409 if conflict else 422 if form.is_bound and form.errors else 200
    one = model.subject.one
    article = "an " if one[0] in "aeiou" else "a "
    told = {"one": one, "article": article, **around(row), **context}
    return render(request, template, told, status=status)


def saved(request: HttpRequest, row: RecordRow) -> HttpResponse:
    """Back to the page that shows the row, with what the checks found odd about it."""
    messages.success(
        request, f"{name_of(row)} saved. The figures follow with the next computation."
    )
    if isinstance(row, ExitSiteCheck):
        messages.info(request, f"{finding(row)} Score {score_text(row)}: it decides nothing.")
    for sentence in row.warnings:
        messages.warning(request, f"Please look again: {plain_words(sentence)}.")
    return redirect(next_step(row) or home_of(row))


def next_step(row: RecordRow) -> str:
    """Pus, or a sign along the tunnel, leads from the check to the infection's form."""
    if not isinstance(row, ExitSiteCheck) or not calls_for_infection(row):
        return ""
    clinic = clinic_of(row).uid
    form = reverse("add", args=[clinic, "catheter_infections", row.patient.uid])
    return f"{form}?check={row.uid}"


def name_of(row: RecordRow) -> str:
    one = row.subject.one
    return one[0].upper() + one[1:]
