"""Asks the person again who they are, before what a session alone may not do."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth import authenticate
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest

from clinic.actions.second_factor import code_fits
from clinic.actions.sessions import asked_lately, mark_asked_again
from clinic.models import Person

_NOT_FITTING = "This does not fit. Nothing was done."


class StepUpForm(forms.Form):
    """Password or code, unless given within the last five minutes; wrong tries count."""

    use_required_attribute = False

    password = forms.CharField(
        label="Your password, once more",
        help_text="Or the six digits of your telephone.",
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        error_messages={"required": "Write your password."},
    )

    def __init__(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request
        self.leave_out_if_asked_lately()

    def leave_out_if_asked_lately(self) -> None:
        if asked_lately(self.request.open_session):
            del self.fields["password"]

    def clean_password(self) -> str:
        if not is_the_person(self.request, self.cleaned_data["password"]):
            raise forms.ValidationError(_NOT_FITTING)
        mark_asked_again(self.request.open_session)
        return ""


def is_the_person(request: HttpRequest, typed: str) -> bool:
    person: Person = request.user
    if len(typed.replace(" ", "")) == 6 and code_fits(person, typed):
        return True
    try:
        return authenticate(request, username=person.username, password=typed) == person
    except PermissionDenied:  # too many wrong tries
        return False
