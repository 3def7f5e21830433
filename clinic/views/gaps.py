"""Gaps: warnings until somebody settles them, fields missing by patient, names not mapped."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from clinic.actions.judgements import settle_gap
from clinic.actions.organism_names import map_local_name
from clinic.actions.refusals import Refused
from clinic.forms.gap_forms import NameForm, SettleForm
from clinic.gaps import open_warnings
from clinic.gaps.warnings import Gap
from clinic.models import Clinic, Patient, Person
from clinic.views.access import log_readers, reader_clinic, require
from clinic.views.gaps_page import gaps_page

# access.csv names no capability of its own for this page: who looks after duplicates sees it.
READ = "duplicate_list.read"


@require_safe
def gaps(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    return gaps_page(request, reader_clinic(request, READ, clinic_uid))


@require_http_methods(["POST"])
def map_name(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, READ, clinic_uid)
    require(request, "organism.map_local_name", clinic)
    form = NameForm(request.POST)
    said = _mapped(form, clinic, request.user) if form.is_valid() else ""
    if not said:
        return gaps_page(request, clinic, form)
    messages.success(request, said)
    return redirect("gaps", clinic.uid)


def _mapped(form: NameForm, clinic: Clinic, by: Person) -> str:
    """What was done, in words; empty if it was refused."""
    try:
        made = map_local_name(clinic=clinic, by=by, **form.cleaned_data)
    except Refused as refused:
        form.add_error("organism", str(refused))
        return ""
    said = f"{made.name} is read as {made.scientific_name} here from now on."
    return f"{said} The figures follow with the next computation."


@require_http_methods(["GET", "HEAD", "POST"])
def settle(request: HttpRequest, clinic_uid: UUID, key: str) -> HttpResponse:
    """One warning, looked at and left as it is, with the reason."""
    clinic = reader_clinic(request, READ, clinic_uid)
    gap = next((each for each in open_warnings(clinic) if each.key == key), None)
    if gap is None:
        raise Http404
    log_readers(request, clinic, Patient.objects.filter(uid=gap.patient_uid))
    form = SettleForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _settled(form, clinic, gap, request.user):
        messages.success(request, "Settled. If the record changes there, it is asked again.")
        return redirect("gaps", clinic.uid)
    return _settle_page(request, clinic, gap, form)


def _settled(form: SettleForm, clinic: Clinic, gap: Gap, by: Person) -> bool:
    try:
        settle_gap(
            clinic=clinic, by=by, key=gap.key, sentence=gap.sentence, **form.cleaned_data
        )  # fmt: skip
    except Refused as refused:
        form.add_error("reason", str(refused))
        return False
    return True


def _settle_page(request: HttpRequest, clinic: Clinic, gap: Gap, form: SettleForm) -> HttpResponse:
    cells = [("Patient", gap.patient), ("Clinic", clinic.name)]
    context = {"clinic": clinic, "gap": gap, "form": form, "head_cells": cells}
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "clinic/pages/settle_gap.html", context, status=status)
