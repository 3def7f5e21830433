"""Forms of People: invite, give a right, end it, close an account; each asks who is asking."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

from django import forms
from django.http import HttpRequest

from clinic.actions.grant_rules import CAPABILITIES_TO_GIVE, USUAL_AUDIT_DAYS
from clinic.clock import now
from clinic.forms.record_form import reason_field
from clinic.forms.step_up import StepUpForm
from clinic.models import Clinic, Person
from clinic.roles import can, clinics_where

_DAY = {"invalid": "Write it as 2026-03-31.", "required": "Choose the day."}


def _day_field(label: str, **more: Any) -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, error_messages=_DAY, **more)


def _words(text: str) -> str:
    return text.replace("_", " ")


class InviteForm(StepUpForm):
    """One account a person."""

    username = forms.RegexField(
        regex=re.compile(r"[a-zA-Z0-9@.+_-]+", re.ASCII),
        label="Sign-in name",
        max_length=150,
        help_text="Letters and digits, or a mail address. It is never given to another person.",
        error_messages={
            "required": "Write the name to sign in with.",
            "invalid": "Letters, digits and @ . + - _ only.",
        },
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )
    name = forms.CharField(
        label="Name",
        max_length=150,
        help_text="As pages and reports show it.",
        error_messages={"required": "Write the name."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    field_order = ("username", "name", "password")


class ReasonForm(StepUpForm):
    """Why a right or an account ends."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"] = reason_field(required=True)
        self.order_fields(["reason", "password"])


class LinkForm(StepUpForm):
    """A new link: nothing but who asks."""


class GrantForm(StepUpForm):
    """A role, where, from when until when, why."""

    role = forms.ChoiceField(
        label="As",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the role."},
    )
    clinic = forms.ChoiceField(
        label="In",
        required=False,
        widget=forms.RadioSelect,
        help_text="For a nurse, a director, a data manager and an auditor.",
    )
    network = forms.CharField(
        label="Network",
        required=False,
        max_length=200,
        help_text="For a network officer, as its clinics name it.",
    )
    quarters = forms.CharField(
        label="Quarters",
        required=False,
        max_length=400,
        help_text="For an auditor, such as 2025-Q1 2025-Q2.",
    )
    first_day = _day_field("First day")
    last_day = _day_field("Last day", required=False, help_text="An audit needs one.")

    def __init__(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().__init__(request, *args, **kwargs)
        roles = [role for role, name in CAPABILITIES_TO_GIVE.items() if can(request.user, name)]
        self.fields["role"].choices = [(role, _words(role)) for role in roles]
        self.clinics = _clinics(request.user, roles)
        self.fields["clinic"].choices = [(str(each.uid), str(each)) for each in self.clinics]
        self.fields["reason"] = reason_field(required=True)
        if roles == ["auditor"]:
            del self.fields["network"]
        self.fields["first_day"].initial = now().date()
        if "auditor" in roles:
            usual = now().date() + timedelta(days=USUAL_AUDIT_DAYS)
            self.fields["last_day"].initial = usual if roles == ["auditor"] else None
        self.order_fields(
            ["role", "clinic", "network", "quarters", "first_day", "last_day", "reason", "password"]
        )

    @property
    def values(self) -> dict[str, Any]:
        data = self.cleaned_data
        chosen = [each for each in self.clinics if str(each.uid) == data["clinic"]]
        house = data["role"] in ("network_officer", "administrator")
        return {
            "role": data["role"],
            "clinic": None if house or not chosen else chosen[0],
            "network": data.get("network", "") if data["role"] == "network_officer" else "",
            "quarters": data["quarters"].split() if data["role"] == "auditor" else [],
            "first_day": data["first_day"],
            "last_day": data["last_day"],
            "reason": data["reason"],
        }


class AuditorForm(GrantForm):
    """A director names the auditor by the sign-in name: other people are not listed."""

    username = forms.CharField(
        label="Sign-in name of the auditor",
        max_length=150,
        error_messages={"required": "Write the name."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.order_fields(["username", *self.fields])

    def clean_username(self) -> Person:
        typed = self.cleaned_data["username"]
        found = Person.objects.filter(username__iexact=typed, is_active=True).first()
        if found is None:
            raise forms.ValidationError("No account of this name; the administrator invites.")
        return found


def _clinics(person: Person, roles: list[str]) -> list[Clinic]:
    given = {CAPABILITIES_TO_GIVE[role] for role in roles}
    found = {clinic for name in given for clinic in clinics_where(person, name)}
    return sorted(found, key=lambda clinic: clinic.code)
