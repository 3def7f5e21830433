"""Forms of Decisions: what was decided, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django import forms

from clinic.actions.decisions import possible_owners
from clinic.actions.refusals import Refused
from clinic.clock import today
from clinic.forms.record_form import TOO_LONG
from clinic.models import Clinic, Person
from clinic.models.decisions import LOOK_AGAIN, MOVABLE, VERDICTS

NO_PATIENT = "No patient details: it is printed in reports."
USUAL_REVIEW = timedelta(days=91)  # a quarter; our choice


def _day(label: str, **more: Any) -> forms.DateField:
    return forms.DateField(
        label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Write it as 2026-03-31.", "required": "Choose the day."},
        **more,
    )  # fmt: skip


def _text(label: str, most: int, rows: int, help_text: str, missing: str) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": rows}) if rows else forms.TextInput()
    return forms.CharField(
        label=label, max_length=most, widget=widget, help_text=help_text,
        error_messages={"required": missing, "max_length": TOO_LONG},
    )  # fmt: skip


class _WrittenForm(forms.Form):
    use_required_attribute = False

    def add_refusal(self, refused: Refused) -> None:
        for fault in refused.faults:
            self.add_error(fault.field if fault.field in self.fields else None, fault.sentence)


class DecisionForm(_WrittenForm):
    """In the order in which a meeting says it."""

    decision = _text("What was decided", 600, 3, NO_PATIENT, "Say what was decided.")
    measure = forms.ChoiceField(
        label="The figure that it should move", choices=list(MOVABLE.items()),
        widget=forms.RadioSelect, error_messages={"required": "Choose the figure."},
    )  # fmt: skip
    marker = _text(
        "Its mark on the charts of that figure", 40, 0,
        "A few words: what changed, never who.", "Say in a few words what changed.",
    )  # fmt: skip
    owner = forms.ChoiceField(
        label="Who sees to it", widget=forms.RadioSelect,
        error_messages={"required": "Choose who sees to it."},
    )  # fmt: skip
    decided_on = _day("Decided on")
    review_on = _day("Reviewed on", help_text="On this day Today asks what came of it.")

    def __init__(self, clinic: Clinic, data: Mapping[str, Any] | None = None) -> None:
        day = today(clinic)
        super().__init__(data, initial={"decided_on": day, "review_on": day + USUAL_REVIEW})
        self._owners = {str(person.uid): person for person, _ in possible_owners(clinic)}
        self.fields["owner"].choices = [
            (str(person.uid), _named(person, role)) for person, role in possible_owners(clinic)
        ]

    @property
    def values(self) -> dict[str, Any]:
        return self.cleaned_data | {"owner": self._owners[self.cleaned_data["owner"]]}


def _named(person: Person, role: str) -> str:
    """The name alone where it says the role already."""
    return person.name if role in person.name.casefold() else f"{person.name}, {role}"


class ReviewForm(_WrittenForm):
    """What came of a decision."""

    verdict = forms.ChoiceField(
        label="What now?", choices=list(VERDICTS.items()), widget=forms.RadioSelect,
        error_messages={"required": "Choose what happens now."},
    )  # fmt: skip
    outcome = _text("What came of it", 600, 3, NO_PATIENT, "Say what came of it.")
    next_review_on = _day(
        "Look again on", required=False, help_text="Only where it is too early to say."
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("verdict") == LOOK_AGAIN and not cleaned.get("next_review_on"):
            self.add_error("next_review_on", "Say on which later day to look again.")
        return cleaned
