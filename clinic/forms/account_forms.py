"""Forms of a person's own account: a new password, a new token."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.http import HttpRequest

from clinic.actions.refusals import Refused
from clinic.actions.tokens import LONGEST_DAYS, NO_TOKEN_ROLES, clinics_for
from clinic.clock import now
from clinic.forms.step_up import StepUpForm
from clinic.models import Clinic, Person
from clinic.roles import grants_now


def add_refusal(form: forms.Form, refused: Refused) -> None:
    """Each fault at its field; one without a field here stands above the form."""
    for fault in refused.faults:
        form.add_error(fault.field if fault.field in form.fields else None, fault.sentence)


def _password(label: str, help_text: str = "") -> forms.CharField:
    return forms.CharField(
        label=label,
        help_text=help_text,
        strip=False,
        max_length=200,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        error_messages={"required": "Write it here."},
    )


class NewPassword(forms.Form):
    """Typed twice; the person's own name and common words are no passwords."""

    use_required_attribute = False

    def __init__(self, person: Person, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person
        self.fields["new_password"] = _password("New password", "A few words are better than one.")
        self.fields["once_more"] = _password("The new password, once more")

    def clean_new_password(self) -> str:
        typed = self.cleaned_data["new_password"]
        validate_password(typed, self.person)
        return typed

    def clean(self) -> dict[str, Any]:
        first, second = (self.cleaned_data.get(name) for name in ("new_password", "once_more"))
        if first and second and first != second:
            self.add_error("once_more", "The two differ.")
        return self.cleaned_data


class ChangePassword(StepUpForm, NewPassword):
    """The old one, then the new one twice."""

    def __init__(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        NewPassword.__init__(self, request.user, *args, **kwargs)
        self.request = request
        self.leave_out_if_asked_lately()


class NewToken(StepUpForm):
    """What for, as what, where, until when: never more than the person's own grants."""

    name = forms.CharField(
        label="What it is for",
        max_length=100,
        help_text="Such as: monthly export.",
        error_messages={"required": "Say what it is for."},
    )
    role = forms.ChoiceField(
        label="As",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose one of your roles."},
    )
    clinics = forms.MultipleChoiceField(
        label="In",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose one or more clinics."},
    )
    last_day = forms.DateField(
        label="Last day",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text=f"At most {LONGEST_DAYS} days ahead, and not beyond your own right.",
        error_messages={"required": "Choose the last day.", "invalid": "Write it as 2026-03-31."},
    )

    def __init__(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().__init__(request, *args, **kwargs)
        roles = sorted({grant.role for grant in grants_now(request.user)} - NO_TOKEN_ROLES)
        self.choices = {role: clinics_for(request.user, role) for role in roles}
        self.fields["role"].choices = [(role, role.replace("_", " ")) for role in roles]
        every = {clinic.uid: clinic for clinics in self.choices.values() for clinic in clinics}
        self.by_uid: dict[str, Clinic] = {str(uid): clinic for uid, clinic in every.items()}
        self.fields["clinics"].choices = [(uid, str(each)) for uid, each in self.by_uid.items()]
        self.fields["last_day"].initial = now().date() + timedelta(days=30)
        self.order_fields(["name", "role", "clinics", "last_day", "password"])

    @property
    def values(self) -> dict[str, Any]:
        chosen = [self.by_uid[uid] for uid in self.cleaned_data["clinics"]]
        kept = {name: self.cleaned_data[name] for name in ("name", "role", "last_day")}
        return kept | {"clinics": chosen}
