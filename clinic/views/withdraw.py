"""A row that was entered in error leaves every list; its history stays."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from clinic.actions import writing
from clinic.actions.refusals import Conflict, Refused
from clinic.actions.rights import RIGHTS
from clinic.forms.record_form import reason_field
from clinic.models import MODELS, Person, RecordRow
from clinic.views.access import require
from clinic.views.around import home_of
from clinic.views.row_page import form_page, name_of, row_in_sight


class ReasonForm(forms.Form):
    use_required_attribute = False
    reason = reason_field(required=True)


class WithdrawForm(ReasonForm):
    version = forms.IntegerField(widget=forms.HiddenInput)


# What else a withdrawal changes, in sentences; the method above the record knows.
Effects = Callable[[RecordRow, Person], list[str]]


@require_http_methods(["GET", "HEAD", "POST"])
def withdraw(
    request: HttpRequest, clinic_uid: UUID, subject: str, uid: UUID, effects: Effects
) -> HttpResponse:
    rights = RIGHTS[subject]
    require(request, rights.withdraw)
    row = row_in_sight(request, rights.read, clinic_uid, subject, uid)
    require(request, rights.withdraw, row)
    form = WithdrawForm(data=request.POST or None, initial={"version": row.version})
    if request.method == "POST" and form.is_valid() and _withdrawn(request, form, row):
        messages.success(request, f"{name_of(row)} withdrawn. Its history stays.")
        return redirect(home_of(row.parent))
    context = {"form": form, "verb": "Withdraw", "row": row, "below": _below(row)}
    context["effects"] = effects(row, request.user)
    return form_page(request, "clinic/pages/withdraw.html", row, type(row), context)


def _withdrawn(request: HttpRequest, form: WithdrawForm, row: RecordRow) -> bool:
    try:
        writing.withdraw(row, by=request.user, **form.cleaned_data)
    except Refused as refused:
        form.add_error(None, str(refused))
    except Conflict as conflict:
        form.add_error(None, f"{conflict.changed_by} changed it meanwhile: read it again first.")
    return form.is_valid()


def _below(row: RecordRow) -> str:
    """What is withdrawn with the row, in words."""
    counted = Counter(child.subject.name for child in writing.standing_children(row))
    return " and ".join(_number_of(name, count) for name, count in sorted(counted.items()))


def _number_of(subject: str, count: int) -> str:
    """The subject's name is its plural: 2 effluent samples."""
    one = MODELS[subject].subject.one
    return f"one {one}" if count == 1 else f"{count} {subject.replace('_', ' ')}"
