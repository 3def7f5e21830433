"""Patients: found by record number; a new one is entered here."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Case, Count, Exists, IntegerField, Max, OuterRef, Q, QuerySet, When
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from clinic.actions.refusals import Refused
from clinic.actions.subjects import record_patient
from clinic.actions.submissions import once
from clinic.clock import today
from clinic.column_makers import text
from clinic.columns import PATIENTS
from clinic.forms.fields import CellField
from clinic.forms.record_form import RecordForm
from clinic.models import Clinic, Patient, PdSpell
from clinic.reading import day_text
from clinic.roles import can
from clinic.views.access import log_readers, reader_clinic, require
from clinic.views.around import home_of

PAGE_SIZE = 50
NUMBER = text(
    "number", "Record number",
    "The clinic's own number; this service stores no names and no addresses.", required=True,
)  # fmt: skip


class SearchForm(forms.Form):
    number = forms.CharField(
        label="Record number", required=False, max_length=200,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )  # fmt: skip


class NewPatientForm(RecordForm):
    """A patient is known by the clinic's own record number; no name is ever asked."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(subject=PATIENTS, **kwargs)
        number = CellField(NUMBER, kwargs["clinic"])  # read as a record file's cell is
        number.help_text = NUMBER.meaning
        self.fields = {"number": number, **self.fields}
        self.layout = (("", ("number", *(column.name for column in self.columns))),)

    @property
    def values(self) -> dict[str, object]:
        return {"number": self.cleaned_data["number"], **super().values}


@require_safe
def patients(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, "patient.list", clinic_uid)
    form = SearchForm(request.GET or None)
    asked = form.cleaned_data["number"].strip() if form.is_valid() else ""
    found = on_pd_first(clinic, asked)
    page = Paginator(found, PAGE_SIZE).get_page(request.GET.get("page"))
    log_readers(request, clinic, page.object_list)
    context = {
        "clinic": clinic,
        "form": form,
        "asked": asked,
        "on_pd": found.filter(on_pd=1).count(),
        "page": page,
        "head_cells": [("Clinic", clinic.name), ("Day", day_text(today(clinic)))],
        "may_record": can(request.user, "patient.record", clinic),
    }
    return render(request, "clinic/pages/patients.html", context)


def on_pd_first(clinic: Clinic, asked: str) -> QuerySet[Patient]:
    """Those on PD today first, then the others, each by record number."""
    standing = Q(peritonitis_rows__withdrawn_at=None)
    rows = Patient.objects.filter(clinic=clinic, withdrawn_at=None)
    if asked:
        rows = rows.filter(number__icontains=asked)
    return rows.annotate(
        episodes=Count("peritonitis_rows", filter=standing, distinct=True),
        latest_onset=Max("peritonitis_rows__onset_on", filter=standing),
        on_pd=_on_pd(today(clinic)),
    ).order_by("-on_pd", "number")


def _on_pd(day: date) -> Case:
    """Whether a spell covers the day and the patient lives; 1 or 0, so that it sorts."""
    spells = PdSpell.objects.filter(
        Q(last_day_on=None) | Q(last_day_on__gte=day),
        patient=OuterRef("pk"), withdrawn_at=None, started_on__lte=day,
    )  # fmt: skip
    covered = When(Exists(spells) & Q(died_on=None), then=1)
    return Case(covered, default=0, output_field=IntegerField())


@require_http_methods(["GET", "HEAD", "POST"])
def new_patient(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    require(request, "patient.record")
    clinic = reader_clinic(request, "patient.list", clinic_uid)
    require(request, "patient.record", clinic)
    form = NewPatientForm(clinic=clinic, data=request.POST or None)
    if request.method == "POST" and form.is_valid():
        make = partial(record_patient, parent=clinic, by=request.user, values=form.values)
        try:
            row = once(
                by=request.user, key=form.submission_key, subject="patients",
                sent=form.values, make=lambda uid: make(uid=uid),
            )  # fmt: skip
            messages.success(request, f"Patient {row.number} saved. Enter the first PD day next.")
            return redirect(home_of(row))
        except Refused as refused:
            form.add_refusal(refused)
    context = {
        "clinic": clinic,
        "form": form,
        "one": "patient",
        "article": "a ",
        "verb": "Add",
        "page_name": "Patients",
        "head_cells": [("Clinic", clinic.name), ("Day", day_text(today(clinic)))],
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "clinic/pages/row_form.html", context, status=status)
