"""Forms of the work on a signal: who looks into it, a step, a note, the conclusion."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from clinic.actions.decisions import possible_owners
from clinic.actions.refusals import Refused
from clinic.models import Clinic, Person
from clinic.models.signal_work import CONCLUSIONS
from clinic.signal_work import Step

NO_PATIENT = "No patient details: it stays with the signal."


def _day(label: str, help_text: str = "") -> forms.DateField:
    return forms.DateField(
        label=label, required=False, help_text=help_text,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Write it as 2026-03-31."},
    )  # fmt: skip


def _says(label: str, *, required: bool) -> forms.CharField:
    return forms.CharField(
        label=label, required=required, max_length=600, help_text=NO_PATIENT,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={
            "required": "Say it in a few words.",
            "max_length": "At most %(limit_value)d characters, this has %(show_value)d.",
        },
    )  # fmt: skip


class _WorkForm(forms.Form):
    use_required_attribute = False

    def add_refusal(self, refused: Refused) -> None:
        for fault in refused.faults:
            self.add_error(fault.field if fault.field in self.fields else None, fault.sentence)


class StepForm(_WorkForm):
    """Who does the step until when, and what came of it."""

    owner = forms.ChoiceField(label="Who does it", required=False, widget=forms.RadioSelect)
    due_on = _day("Due on")
    done_on = _day("Done on", "Leave empty while it is under way.")
    says = _says("What was found or done", required=False)

    def __init__(self, clinic: Clinic, step: Step, data: Mapping[str, Any] | None = None) -> None:
        held = step.entry
        initial = {
            "owner": str(held.owner.uid) if held and held.owner else "",
            "due_on": held.due_on if held else None,
            "done_on": held.done_on if held else None,
            "says": held.says if held else "",
        }
        super().__init__(data, initial=initial)
        self._owners = {str(person.uid): person for person, _ in possible_owners(clinic)}
        named = [(key, person.name) for key, person in self._owners.items()]
        self.fields["owner"].choices = [*named, ("", "Nobody yet")]

    @property
    def values(self) -> dict[str, Any]:
        owner: Person | None = self._owners.get(self.cleaned_data["owner"])
        return self.cleaned_data | {"owner": owner}


class NoteForm(_WorkForm):
    """Something that no step asks for."""

    says = _says("What was found or agreed", required=True)


class CloseForm(_WorkForm):
    """The conclusion."""

    conclusion = forms.ChoiceField(
        label="Conclusion", choices=list(CONCLUSIONS.items()), widget=forms.RadioSelect,
        error_messages={"required": "Choose the conclusion."},
    )  # fmt: skip
    says = _says("Why", required=True)
