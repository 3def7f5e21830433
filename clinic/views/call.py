"""The cloudy-bag call: who calls, red flags, then the questions and what to tell the patient."""

from __future__ import annotations

from functools import partial
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from clinic import call_words
from clinic.actions import writing
from clinic.actions.calls import answer_call, open_call
from clinic.actions.refusals import Conflict, Refused
from clinic.actions.submissions import once
from clinic.clinic_text import CAUTION, wording_of
from clinic.clock import today
from clinic.due import waiting_calls
from clinic.forms.call_forms import CallAnswers, red_flag_form, stored
from clinic.forms.names import suggested_names
from clinic.forms.record_form import RecordForm
from clinic.lineage import clinic_of
from clinic.models import Call, Patient, Peritonitis
from clinic.nursing_columns import RED_FLAGS
from clinic.reading import day_text
from clinic.views.access import log_readers, reader_clinic, reader_row, require
from clinic.views.patients import SearchForm, on_pd_first
from clinic.views.row_page import row_in_sight

FOUND_AT_ONCE = 20


@require_safe
def call(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    """Who calls: a record number leads to the red flags; nothing is saved before them."""
    clinic = reader_clinic(request, "patient.list", clinic_uid)
    require(request, "episode.record", clinic)
    form = SearchForm(request.GET or None)
    asked = form.cleaned_data["number"].strip() if form.is_valid() else ""
    found = list(on_pd_first(clinic, asked)[:FOUND_AT_ONCE]) if asked else []
    calls = waiting_calls(clinic)
    log_readers(request, clinic, [*found, *(row.peritonitis.patient for row in calls)])
    waiting = [(row, call_words.clock_text(row, row.called_at)) for row in calls]
    context = {
        "clinic": clinic,
        "form": form,
        "asked": asked,
        "found": found,
        "waiting": waiting,
        "head_cells": [("Clinic", clinic.name), ("Day", day_text(today(clinic)))],
    }
    return render(request, "clinic/pages/call_who.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def new_call(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    """Red flags first; saving them opens the suspected episode."""
    rows = Patient.objects.filter(withdrawn_at=None)
    patient = reader_row(request, "patient.read", clinic_uid, rows, uid)
    require(request, "episode.record", patient)
    form = red_flag_form(patient.clinic, data=request.POST or None)
    if request.method == "POST" and form.is_valid() and (made := _opened(request, form, patient)):
        return redirect("open_call", clinic_uid, made.uid)
    return _flags_page(request, form, patient, None)


def _opened(request: HttpRequest, form: RecordForm, patient: Patient) -> Call | None:
    name = suggested_names(Peritonitis, patient)["episode"]
    make = partial(open_call, patient=patient, by=request.user, episode=name, values=form.values)
    try:
        return once(
            by=request.user, key=form.submission_key, subject="calls",
            sent={"parent": patient.uid, **form.values}, make=lambda uid: make(uid=uid),
        )  # fmt: skip
    except Refused as refused:
        form.add_refusal(refused)
        return None


@require_http_methods(["GET", "HEAD", "POST"])
def red_flags(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    """The red flags of a call under way, asked again."""
    row = _call_to_amend(request, clinic_uid, uid)
    initial = stored(row, list(RED_FLAGS))
    form = red_flag_form(clinic_of(row), data=request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        why = "Asked again in the call."
        writing.amend(row, by=request.user, version=row.version, values=form.values, reason=why)
        return redirect("open_call", clinic_uid, uid)
    return _flags_page(request, form, row.peritonitis.patient, row)


def _call_to_amend(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> Call:
    row = row_in_sight(request, "episode.read", clinic_uid, "calls", uid)
    require(request, "episode.record", row)
    return row


def _flags_page(
    request: HttpRequest, form: RecordForm, patient: Patient, row: Call | None
) -> HttpResponse:
    clinic = clinic_of(patient)
    context = {
        "clinic": clinic,
        "patient": patient,
        "form": form,
        "call": row,
        "page_name": "Call",
        "title_detail": patient.number,
        "head_cells": _head(patient, row),
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "clinic/pages/call_flags.html", context, status=status)


def _head(patient: Patient, row: Call | None) -> list[tuple[str, str]]:
    clinic = clinic_of(patient)
    cells = [("Patient", call_words.patient_in_words(patient))]
    if row is not None:
        began = row.called_at.astimezone(clinic.zone)
        cells.append(("Call began", f"{began:%H:%M}, {day_text(began.date())}"))
    return [*cells, ("Clinic", clinic.name)]


@require_http_methods(["GET", "HEAD", "POST"])
def open_call_page(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    """Questions, what to tell, the end of the call; saved into the call and its episode."""
    row = _call_to_amend(request, clinic_uid, uid)
    forms, status = CallAnswers(call=row, data=request.POST or None), 200
    if request.method == "POST":
        forms, status = _answered(request, forms, row)
        if status == 200:
            messages.success(request, "Call saved. The patient stands on Today until they come.")
            return redirect("today", clinic_uid)
    return _answers_page(request, forms, row, status)


def _answered(request: HttpRequest, forms: CallAnswers, row: Call) -> tuple[CallAnswers, int]:
    """200 when it is stored; otherwise the forms say why not."""
    if not forms.is_valid():
        return forms, 422
    try:
        answer_call(
            row, by=request.user, versions=forms.versions,
            values=forms.call.typed, episode=forms.episode.typed,
        )  # fmt: skip
        return forms, 200
    except Refused as refused:
        forms.add_refusal(refused)
        return forms, 422
    except Conflict as conflict:
        merged = forms.beside(Call.objects.get(pk=row.pk))
        said = f"{conflict.changed_by} changed this call meanwhile: both stand below, save again."
        merged.call.add_error(None, said)
        return merged, 409


def _answers_page(request: HttpRequest, forms: CallAnswers, row: Call, status: int) -> HttpResponse:
    patient, wording = row.peritonitis.patient, wording_of(clinic_of(row))
    context = {
        "clinic": clinic_of(row),
        "patient": patient,
        "call": row,
        "forms": forms,
        "finding": call_words.flags_finding(row),
        "counted": call_words.flags_counted(row),
        "is_urgent": bool(call_words.flags_up(row)),
        "wording": wording,
        "instructions": wording.instructions(call_words.expected_text(row)),
        "caution": CAUTION,
        "page_name": "Call",
        "title_detail": patient.number,
        "head_cells": _head(patient, row),
    }
    return render(request, "clinic/pages/call_answers.html", context, status=status)
