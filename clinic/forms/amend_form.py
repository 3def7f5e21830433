"""The form that amends a stored row, and what it does when somebody else wrote first."""

from __future__ import annotations

from typing import Any

from django import forms

from clinic.columns import Column
from clinic.forms.fields import cell_text
from clinic.forms.record_form import RecordForm, reason_field
from clinic.forms.words import choice_words
from clinic.models import Clinic, RecordRow


class AmendForm(RecordForm):
    """The form of a stored row: it knows what was read, so only what was typed is changed."""

    def __init__(self, *, row: RecordRow, clinic: Clinic, **kwargs: Any) -> None:
        initial = {column.name: getattr(row, column.name) for column in row.subject}
        super().__init__(subject=row.subject, clinic=clinic, initial=initial, **kwargs)
        self.row, self.clinic = row, clinic
        self.fields["version"] = forms.IntegerField(
            widget=forms.HiddenInput, initial=row.version, min_value=1
        )
        for column in self.columns:
            self.fields[f"was-{column.name}"] = forms.CharField(
                widget=forms.HiddenInput, required=False, initial=stored_text(row, column, clinic)
            )
        self.fields["reason"] = reason_field(required=False)

    def clean(self) -> dict[str, Any]:
        """What was not touched needs no reading again: it stands as it is stored."""
        super().clean()
        for column in self.columns:
            if not self._was_typed(column):
                self._errors.pop(column.name, None)
        return self.cleaned_data

    @property
    def typed(self) -> dict[str, Any]:
        """The values of the fields that this person changed on the page."""
        return {
            column.name: self.cleaned_data[column.name]
            for column in self.columns
            if self._was_typed(column)
        }

    def _was_typed(self, column: Column) -> bool:
        return self._sent(column.name) != self._sent(f"was-{column.name}")

    def _sent(self, name: str) -> str:
        widget = self.fields[name].widget
        sent = widget.value_from_datadict(self.data, self.files, self.add_prefix(name))
        return (sent or "").strip()

    def beside(self, now: RecordRow) -> AmendForm:
        """This person's words on top of what somebody else stored meanwhile; one click saves."""
        data, meanwhile = self.data.copy(), {}
        for column in self.columns:
            stored = stored_text(now, column, self.clinic)
            if stored != self._sent(f"was-{column.name}"):
                meanwhile[column.name] = shown_text(column, stored)
            if not self._was_typed(column):
                data[self.add_prefix(column.name)] = stored
            data[self.add_prefix(f"was-{column.name}")] = stored
        data[self.add_prefix("version")] = str(now.version)
        only = [column.name for column in self.columns]
        form = AmendForm(row=now, clinic=self.clinic, only=only, data=data, prefix=self.prefix)
        form.meanwhile = meanwhile
        return form


def stored_text(row: RecordRow, column: Column, clinic: Clinic) -> str:
    return cell_text(getattr(row, column.name), clinic.zone)


def shown_text(column: Column, text: str) -> str:
    """A stored text as a person reads it; nothing stored is said so."""
    if not text:
        return "nothing"
    return choice_words(column, text) if column.choices else text
