"""The clinic's own wording of what a caller is told, and its due schedule; the director's."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from clinic.actions.clinic_text import amend_clinic_text
from clinic.actions.refusals import Refused
from clinic.clinic_text import wording_of
from clinic.clock import today
from clinic.forms.call_forms import text_form
from clinic.reading import day_text
from clinic.views.access import reader_clinic


@require_http_methods(["GET", "HEAD", "POST"])
def local_text(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, "clinic_text.amend", clinic_uid)
    wording = wording_of(clinic)
    form = text_form(wording, request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            amend_clinic_text(clinic=clinic, by=request.user, **form.cleaned_data)
            messages.success(request, "The clinic's wording is saved and holds from now on.")
            return redirect("today", clinic_uid)
        except Refused as refused:
            form.add_error("reason", str(refused))
    context = {
        "clinic": clinic,
        "form": form,
        "wording": wording,
        "page_name": "Today",
        "head_cells": [("Clinic", clinic.name), ("Day", day_text(today(clinic)))],
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "clinic/pages/local_text.html", context, status=status)
