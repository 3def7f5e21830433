"""Forms of the signals' phases: agreed from a day on, or taken back; each with its reason."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from clinic.actions.refusals import Refused
from clinic.clock import today
from clinic.forms.record_form import reason_field
from clinic.models import Clinic


class _PhaseForm(forms.Form):
    use_required_attribute = False

    def add_refusal(self, refused: Refused) -> None:
        for fault in refused.faults:
            self.add_error(fault.field if fault.field in self.fields else None, fault.sentence)


class AgreeForm(_PhaseForm):
    """From when on, and what the signals expect from then on."""

    first_day = forms.DateField(
        label="From this day on",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text="The signals start anew on it: a change that is known does not alarm again.",
        error_messages={"invalid": "Write it as 2026-03-31.", "required": "Choose the day."},
    )
    baseline_rate = forms.FloatField(
        label="Expected peritonitis per patient-year",
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        help_text="Leave empty for the target. A rate agreed on from few episodes multiplies "
        "chance alarms.",
        error_messages={"invalid": "Write a number, as 0.35."},
    )
    reason = reason_field(required=True)

    def __init__(self, clinic: Clinic, data: Mapping[str, Any] | None = None) -> None:
        super().__init__(data, initial={"first_day": today(clinic)})


class WithdrawForm(_PhaseForm):
    """Why the phase is taken back."""

    reason = reason_field(required=True)
