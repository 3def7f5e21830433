"""Giving a right: an administrator to anybody but themselves, a director to an auditor."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from clinic.actions.people import give_grant
from clinic.actions.refusals import Refused
from clinic.forms.account_forms import add_refusal
from clinic.forms.people_forms import AuditorForm, GrantForm
from clinic.models import Person
from clinic.views.access import require
from clinic.views.people import person_in_sight
from clinic.views.plain_form import plain_form

_FORM = ["GET", "HEAD", "POST"]


@require_http_methods(_FORM)
def give(request: HttpRequest, uid: UUID) -> HttpResponse:
    found = person_in_sight(request, uid)
    require(request, "grant.give_auditor")  # whoever may give any may give this one
    form = GrantForm(request, data=request.POST or None)
    if form.is_valid() and _given(request, form, found):
        return redirect("person", uid)
    return plain_form(
        request, form, heading=f"Give {found.name} a right.", button="Give it",
        back=reverse("person", args=[uid]), page_name="People",
        lead="One role in one place. Nobody gives a right to themselves.",
    )  # fmt: skip


@require_http_methods(_FORM)
def give_audit(request: HttpRequest) -> HttpResponse:
    require(request, "grant.give_auditor")
    form = AuditorForm(request, data=request.POST or None)
    if form.is_valid() and _given(request, form, form.cleaned_data["username"]):
        return redirect("person", form.cleaned_data["username"].uid)
    return plain_form(
        request, form, heading="Let an auditor in.", button="Give it", back="people",
        page_name="People",
        lead="Named quarters, until a last day; signed reports only, always pseudonyms.",
    )  # fmt: skip


def _given(request: HttpRequest, form: GrantForm, person: Person) -> bool:
    try:
        grant = give_grant(person=person, by=request.user, **form.values)
    except Refused as refused:
        add_refusal(form, refused)
        return False
    messages.success(request, f"{person.name} is {grant.role_text} now.")
    return True
