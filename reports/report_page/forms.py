"""Forms of preparing, returning and signing: each asks the password again."""

from __future__ import annotations

from typing import Any

from django import forms

from clinic.forms.record_form import TOO_LONG
from clinic.forms.step_up import StepUpForm
from surveillance.snapshots import CAUSES

CHECKS = (
    ("episodes", "Every peritonitis episode and catheter infection of the quarter is entered."),
    ("cultures", "Cultures that are back are entered; what was not taken is marked so."),
    ("days", "Starts, ends and pauses of PD and catheter dates are up to date."),
    ("trainings", "Trainings and hospital stays of the quarter are entered."),
)


class PrepareForm(StepUpForm):
    """The checklist; a quarter that was signed before also asks what changed."""

    def __init__(self, *args: Any, asks_reason: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, sentence in CHECKS:
            self.fields[f"check_{name}"] = forms.BooleanField(
                label=sentence, error_messages={"required": "Confirm this, or enter it first."}
            )
        if asks_reason:
            self.fields["causes"] = causes_field()
            self.fields["reason"] = reason_field("What changed since the signed version, and why")
        checks = (f"check_{name}" for name, _ in CHECKS)
        self.order_fields([*checks, "causes", "reason", "password"])


class ReturnForm(forms.Form):
    """Why a prepared quarter goes back."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"] = reason_field("What has to be looked at again")


class SignForm(StepUpForm):
    """Signs exactly the version on the page: its digest travels with the form."""

    digest = forms.CharField(widget=forms.HiddenInput, max_length=64)


def causes_field() -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label="What caused the change", choices=list(CAUSES.items()),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Say what caused the change."},
    )  # fmt: skip


def reason_field(label: str) -> forms.CharField:
    short = "Say it in a few words (at least 10 characters)."
    return forms.CharField(
        label=label, min_length=10, max_length=400, widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": short, "min_length": short, "max_length": TOO_LONG},
    )  # fmt: skip
