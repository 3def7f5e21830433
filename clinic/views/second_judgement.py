"""A second judgement: asked of a colleague, given without sight of the first."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from clinic.actions.refusals import Refused
from clinic.actions.second_judgements import (
    RIGHT,
    ask_second_judgement,
    give_second_judgement,
)
from clinic.blinding import first_judges
from clinic.columns import SUBJECTS
from clinic.forms.fields import CellField
from clinic.lineage import clinic_of
from clinic.models import Clinic, Peritonitis, Person, SecondJudgement
from clinic.roles import can
from clinic.views.access import require
from clinic.views.around import home_of
from clinic.views.row_page import form_page, row_in_sight

_ASKED = ("route", "certainty", "preventable")


class AskForm(forms.Form):
    """Whom to ask: who may judge here and has not judged this episode."""

    use_required_attribute = False

    def __init__(self, *args: Any, people: list[Person], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.people = {str(person.uid): person for person in people}
        self.fields["judge"] = forms.ChoiceField(
            label="Who judges a second time", widget=forms.RadioSelect,
            choices=[(uid, person.name) for uid, person in self.people.items()],
            error_messages={"required": "Choose a colleague."},
        )  # fmt: skip


class JudgeForm(forms.Form):
    """The questions of the root-cause review, without a look at its answers."""

    use_required_attribute = False

    def __init__(self, *args: Any, clinic: Clinic, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in _ASKED:
            column = SUBJECTS["root_cause_reviews"].column(name)
            self.fields[name] = CellField(replace(column, required=name == "route"), clinic)


def _colleagues(episode: Peritonitis, by: Person) -> list[Person]:
    clinic = clinic_of(episode)
    rows = Person.objects.filter(is_active=True, grants__clinic=clinic).distinct().order_by("name")
    out = first_judges(episode) | {by.pk}
    return [one for one in rows if one.pk not in out and can(one, RIGHT, episode)]


@require_http_methods(["GET", "HEAD", "POST"])
def ask_second(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    require(request, RIGHT)
    row = row_in_sight(request, "episode.read", clinic_uid, "peritonitis", uid)
    require(request, RIGHT, row)
    form = AskForm(request.POST or None, people=_colleagues(row, request.user))
    if request.method == "POST" and form.is_valid():
        judge = form.people[form.cleaned_data["judge"]]
        try:
            ask_second_judgement(episode=row, by=request.user, judge=judge)
            messages.success(request, f"{judge.name} is asked; the first is hidden from them.")
            return redirect(home_of(row))
        except Refused as refused:
            form.add_error(None, str(refused))
    return form_page(request, "clinic/pages/ask_second.html", row, Peritonitis, {"form": form})


@require_http_methods(["GET", "HEAD", "POST"])
def give_second(request: HttpRequest, clinic_uid: UUID, subject: str, uid: UUID) -> HttpResponse:
    require(request, RIGHT)
    row = row_in_sight(request, "episode.read", clinic_uid, "peritonitis", uid)
    asked = SecondJudgement.objects.filter(episode=row, judge=request.user, judged_at=None).first()
    if asked is None:
        raise Http404
    form = JudgeForm(request.POST or None, clinic=clinic_of(row))
    if request.method == "POST" and form.is_valid():
        try:
            give_second_judgement(asked=asked, by=request.user, **form.cleaned_data)
            messages.success(request, "Saved. Both judgements stand side by side now.")
            return redirect(home_of(row))
        except Refused as refused:
            form.add_error("route", str(refused))
    return form_page(request, "clinic/pages/give_second.html", row, Peritonitis, {"form": form})
