"""A named person's other view of a category: printed beside the derived one, changes no figure."""

from __future__ import annotations

from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from clinic.actions.judgements import record_dissent
from clinic.actions.refusals import Refused
from clinic.forms.record_form import reason_field
from clinic.forms.words import choice_label
from clinic.models import Peritonitis
from clinic.models.judgements import CATEGORIES
from clinic.views.access import require
from clinic.views.around import home_of
from clinic.views.row_page import form_page, row_in_sight


class DissentForm(forms.Form):
    use_required_attribute = False
    category = forms.ChoiceField(
        label="The category, as you judge it",
        choices=[(one, choice_label("category", one)) for one in CATEGORIES],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the category that you hold for right."},
    )
    reason = reason_field(required=True)


@require_http_methods(["GET", "HEAD", "POST"])
def dissent(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    require(request, "episode.override_class")
    row = row_in_sight(request, "episode.read", clinic_uid, "peritonitis", uid)
    require(request, "episode.override_class", row)
    form = DissentForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            record_dissent(episode=row, by=request.user, **form.cleaned_data)
            messages.success(request, "Your dissent stands beside the category. No figure changed.")
            return redirect(home_of(row))
        except Refused as refused:
            form.add_error("reason", str(refused))
    return form_page(request, "clinic/pages/dissent.html", row, Peritonitis, {"form": form})
