"""One form field a column of the record: its box, its unit, one way to read what is typed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError

from clinic.clock import today
from clinic.columns import Column
from clinic.forms.words import choice_label
from clinic.models import Clinic
from clinic.reading import CellFault, empty_value, read_cell

# Sent for a choice that nobody knows; the record keeps it as it keeps an empty cell.
NOT_KNOWN = "not_known"
SHORT_LABEL = 24  # characters


class CellField(forms.CharField):
    """Reads a cell exactly as a record file's cell is read; empty is unknown."""

    def __init__(self, column: Column, clinic: Clinic) -> None:
        super().__init__(
            label=column.ask,
            required=column.required,
            strip=False,
            widget=_WIDGETS[column.kind](column),
            help_text=_HELP.get(column.name, ""),
        )
        self.column, self.clinic, self.unit = column, clinic, column.unit

    @property
    def has_long_choices(self) -> bool:
        """Choices that would not stand side by side on a telephone."""
        return any(len(label) > SHORT_LABEL for _, label in getattr(self.widget, "choices", ()))

    def read(self, text: str) -> Any:
        return read_cell(self.column, text, self.clinic.zone, today(self.clinic), self.clinic.name)

    def clean(self, value: Any) -> Any:
        if value == NOT_KNOWN or not (self.required or (value or "").strip()):
            return empty_value(self.column)
        try:
            return self.read(value or "")
        except CellFault as fault:
            raise ValidationError(_said(fault)) from fault

    def prepare_value(self, value: Any) -> str:
        """What stands in the box: a stored value as text, or what was typed."""
        return value if isinstance(value, str) else cell_text(value, self.clinic.zone)


def _said(fault: CellFault) -> str:
    return "This has to be filled." if fault.code == "required" else str(fault)


def cell_text(value: Any, zone: ZoneInfo) -> str:
    """A stored value as the form writes it."""
    if value in ("", None):
        return ""
    if isinstance(value, datetime):
        return value.astimezone(zone).strftime("%Y-%m-%dT%H:%M")
    if isinstance(value, date):
        return value.isoformat()
    return f"{value:g}" if isinstance(value, float) else str(value)


def _text(column: Column) -> forms.Widget:
    return forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"})


def _organism(column: Column) -> forms.Widget:
    return forms.TextInput(attrs={"autocomplete": "off", "list": "organisms"})


def _number(column: Column) -> forms.Widget:
    mode = "numeric" if column.kind == "whole" else "decimal"
    return forms.TextInput(attrs={"autocomplete": "off", "inputmode": mode, "class": "number"})


def _day(column: Column) -> forms.Widget:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


def _moment(column: Column) -> forms.Widget:
    return forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")


def _choice(column: Column) -> forms.Widget:
    listed = [(value, choice_label(column.name, value)) for value in column.choices]
    if not column.required:
        listed.append((NOT_KNOWN, "Not known"))
    return forms.RadioSelect(choices=listed)


def _yes_no(column: Column) -> forms.Widget:
    return forms.RadioSelect(choices=(("yes", "Yes"), ("no", "No"), ("unknown", "Not known")))


def _note(column: Column) -> forms.Widget:
    return forms.Textarea(attrs={"rows": 4, "autocomplete": "off"})


class SeveralBoxes(forms.CheckboxSelectMultiple):
    """Tick boxes whose answer is one cell: the ticked words joined by `;`."""

    def value_from_datadict(self, data: Any, files: Any, name: str) -> str:
        sent = data.getlist(name) if hasattr(data, "getlist") else [data.get(name) or ""]
        return ";".join(sent)

    def format_value(self, value: Any) -> list[str]:
        return value.split(";") if isinstance(value, str) else super().format_value(value)


def _several(column: Column) -> forms.Widget:
    return SeveralBoxes(choices=[(one, choice_label(column.name, one)) for one in column.choices])


_WIDGETS: dict[str, Callable[[Column], forms.Widget]] = {
    "text": _text,
    "organism": _organism,
    "note": _note,
    "several": _several,
    "number": _number,
    "whole": _number,
    "day": _day,
    "moment": _moment,
    "choice": _choice,
    "yes_no": _yes_no,
}

_HELP = {
    "onset_on": "The day decides the period that the episode belongs to.",
    "last_dwell_hours": "Under 2 hours the cell count cannot be judged: ask for a dwell of 2 hours "
    "before the sample, if it does not delay treatment.",
    "dwell_hours": "Two hours or more are needed to judge the count.",
    "leucocytes_per_ul": "Whole cells per µL; 0.65 ×10⁹/L is 650 per µL.",
    "organism": "Scientific name, a usual other name, or the NCBI taxonomy id.",
    "last_day_on": "Leave empty while it goes on.",
    "removed_on": "Leave empty while the catheter is in place.",
    "discharged_on": "Leave empty while the admission goes on.",
    "therapy_completed_on": "The day of the last antibiotic dose; leave empty until then.",
    "judged_source": "Where you judge that it came from.",
    "competent": "Signed off as competent after this training.",
    "identified_on": "The day on which the laboratory gave this name.",
    "break_in_days": "Days from insertion to the first use.",
    "last_dose_on": "Leave empty while it is given. No dose is asked and none is advised.",
    "planned_last_dose_on": "The day appears on Today.",
    "happened": "Tick all that did.",
    "closed_as": "For a suspected episode of which nothing more will come. It leaves Today; "
    "the criteria alone decide the figures.",
    "exchange_place": "A shared exchange room, a holiday place; always by the same name.",
    "note": "No names. It never leaves the clinic's own pages.",
    "action": "No patient details.",
    "catheter_decision": "A removal itself is written at the catheter.",
    "first_cloudy_at": "Leave empty if the time is not known.",
}
