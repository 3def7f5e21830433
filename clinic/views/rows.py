"""Forms of every subject of the record: add a row, amend it, withdraw it."""

from __future__ import annotations

from collections import Counter
from functools import partial
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from clinic.actions import writing
from clinic.actions.refusals import Conflict, Refused
from clinic.actions.rights import RIGHTS, asks_reason, fields_open_to
from clinic.actions.submissions import once
from clinic.forms.amend_form import AmendForm
from clinic.forms.names import suggested_names
from clinic.forms.record_form import RecordForm, reason_field
from clinic.lineage import clinic_of
from clinic.models import MODELS, RecordRow
from clinic.roles import can
from clinic.views.access import reader_row, require
from clinic.views.around import around, home_of

_SAVED = "{} saved. The figures follow with the next computation."


def add(request: HttpRequest, clinic_uid: UUID, subject: str, parent_uid: UUID) -> HttpResponse:
    model = MODELS[subject]
    rights = RIGHTS[subject]
    require(request, rights.record)
    parent = _standing_row(request, rights.read, clinic_uid, model.subject.parent, parent_uid)
    require(request, rights.record, parent)
    form = RecordForm(
        subject=model.subject,
        clinic=clinic_of(parent),
        asks_reason=asks_reason(request.user, rights.record, parent),
        initial=suggested_names(model, parent),
        data=request.POST or None,
    )
    if request.method == "POST" and form.is_valid() and (row := _record(request, form, parent)):
        messages.success(request, _SAVED.format(_name(model)))
        return redirect(home_of(row))
    context = {"form": form, "verb": "Add", "back": home_of(parent)}
    return _form_page(request, "clinic/pages/row_form.html", parent, model, context)


def _record(request: HttpRequest, form: RecordForm, parent: RecordRow) -> RecordRow | None:
    model = MODELS[form.subject.name]
    make = partial(
        writing.record, model, parent=parent, by=request.user,
        values=form.values, reason=form.given_reason,
    )  # fmt: skip
    try:
        return once(
            by=request.user, key=form.submission_key, subject=form.subject.name,
            sent=form.values, make=lambda uid: make(uid=uid),
        )  # fmt: skip
    except Refused as refused:
        form.add_refusal(refused)
        return None


def amend(request: HttpRequest, clinic_uid: UUID, subject: str, uid: UUID) -> HttpResponse:
    rights = RIGHTS[subject]
    require(request, rights.amend)
    row = _standing_row(request, rights.read, clinic_uid, subject, uid)
    require(request, rights.amend, row)
    only = fields_open_to(request.user, row)
    form = AmendForm(row=row, clinic=clinic_of(row), only=only, data=request.POST or None)
    conflict = None
    if request.method == "POST" and form.is_valid():
        try:
            writing.amend(
                row, by=request.user, version=form.cleaned_data["version"],
                values=form.typed, reason=form.given_reason,
            )  # fmt: skip
            messages.success(request, _SAVED.format(_name(type(row))))
            return redirect(home_of(row))
        except Refused as refused:
            form.add_refusal(refused)
        except Conflict as raised:
            conflict, form = raised, form.beside(raised.row)
    context = {"form": form, "verb": "Amend", "row": row, "conflict": conflict}
    context["may_withdraw"] = _may_withdraw(request, row)
    return _form_page(request, "clinic/pages/row_form.html", row, type(row), context)


def withdraw(request: HttpRequest, clinic_uid: UUID, subject: str, uid: UUID) -> HttpResponse:
    rights = RIGHTS[subject]
    require(request, rights.withdraw)
    row = _standing_row(request, rights.read, clinic_uid, subject, uid)
    require(request, rights.withdraw, row)
    form = WithdrawForm(data=request.POST or None, initial={"version": row.version})
    if request.method == "POST" and form.is_valid():
        after = home_of(row.parent)
        try:
            writing.withdraw(row, by=request.user, **form.cleaned_data)
            messages.success(request, f"{_name(type(row))} withdrawn. Its history stays.")
            return redirect(after)
        except Refused as refused:
            form.add_error(None, str(refused))
        except Conflict as conflict:
            form.add_error(None, f"{conflict.changed_by} changed it meanwhile: read it again.")
    context = {"form": form, "verb": "Withdraw", "row": row, "below": _below(row)}
    return _form_page(request, "clinic/pages/withdraw.html", row, type(row), context)


class WithdrawForm(forms.Form):
    use_required_attribute = False
    version = forms.IntegerField(widget=forms.HiddenInput)
    reason = reason_field(required=True)


def _standing_row(
    request: HttpRequest, capability: str, clinic_uid: UUID, subject: str, uid: UUID
) -> Any:
    rows = MODELS[subject].objects.filter(withdrawn_at=None)
    return reader_row(request, capability, clinic_uid, rows, uid)


def _form_page(
    request: HttpRequest, template: str, row: RecordRow, model: type[RecordRow], context: dict
) -> HttpResponse:
    """The form about this row; 422 says that what was sent could not be taken."""
    form, conflict = context["form"], context.get("conflict")
    status = 409 if conflict else 422 if form.is_bound and form.errors else 200
    one = model.subject.one
    article = "an " if one[0] in "aeiou" else "a "
    told = {"one": one, "article": article, **around(row), **context}
    return render(request, template, told, status=status)


def _name(model: type[RecordRow]) -> str:
    one = model.subject.one
    return one[0].upper() + one[1:]


def _may_withdraw(request: HttpRequest, row: RecordRow) -> bool:
    return can(request.user, RIGHTS[row.subject.name].withdraw, row)


def _below(row: RecordRow) -> str:
    """What is withdrawn with the row, in words."""
    counted = Counter(child.subject.one for child in writing.standing_children(row))
    return " and ".join(f"{count} × {one}" for one, count in sorted(counted.items()))
