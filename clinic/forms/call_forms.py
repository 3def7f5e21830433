"""The two steps of a cloudy-bag call, and the patient's arrival."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import copy
from typing import Any

from django import forms

from clinic.actions.refusals import Refused
from clinic.clinic_text import Wording
from clinic.forms.amend_form import AmendForm
from clinic.forms.record_form import TOO_LONG, Group, RecordForm, reason_field
from clinic.lineage import clinic_of
from clinic.models import Call, Clinic, RecordRow
from clinic.nursing_columns import CALLS, RED_FLAGS

# Asked in this order: of the episode, or of the call.
_QUESTIONS = (
    ("episode", "cloudy_effluent"),
    ("call", "first_cloudy_at"),
    ("episode", "abdominal_pain"),
    ("call", "pain_score"),
    ("call", "fever"),
    ("call", "last_dwell_hours"),
    ("call", "happened"),
    ("call", "lots"),
    ("call", "caller"),
)
_ENDING = (("call", "expected_at"), ("call", "said_back"))


def red_flag_form(clinic: Clinic, **kwargs: Any) -> RecordForm:
    return RecordForm(subject=CALLS, clinic=clinic, only=RED_FLAGS, **kwargs)


def _of(form: str) -> list[str]:
    return [name for whose, name in (*_QUESTIONS, *_ENDING) if whose == form]


def stored(row: RecordRow, names: list[str]) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


class CallAnswers:
    """The questions of the call; what they say of the episode is written there, not twice."""

    def __init__(self, *, call: Call, data: Mapping[str, Any] | None) -> None:
        clinic = clinic_of(call)
        self.call = AmendForm(
            row=call, clinic=clinic, only=_of("call"), prefix="call", data=data
        )  # fmt: skip
        self.episode = AmendForm(
            row=call.peritonitis, clinic=clinic, only=_of("episode"), prefix="episode", data=data
        )

    def beside(self, call: Call) -> CallAnswers:
        """What was typed, on top of what somebody else stored meanwhile; one click saves."""
        merged = copy(self)
        merged.call = self.call.beside(call)
        merged.episode = self.episode.beside(call.peritonitis)
        return merged

    @property
    def forms(self) -> tuple[AmendForm, AmendForm]:
        return (self.call, self.episode)

    @property
    def has_errors(self) -> bool:
        return any(form.is_bound and form.errors for form in self.forms)

    def is_valid(self) -> bool:
        valid = [form.is_valid() for form in self.forms]  # every fault at once
        return all(valid)

    @property
    def versions(self) -> tuple[int, int]:
        return self.call.cleaned_data["version"], self.episode.cleaned_data["version"]

    def add_refusal(self, refused: Refused) -> None:
        for fault in refused.faults:
            form = self.call if fault.subject == "calls" else self.episode
            form.add_refusal(Refused(fault))

    def questions(self) -> Group:
        return self._group("Questions", _QUESTIONS)

    def ending(self) -> Group:
        return self._group("Ending the call", _ENDING)

    def _group(self, title: str, fields: tuple[tuple[str, str], ...]) -> Group:
        return Group(title, tuple(getattr(self, form).asked(name) for form, name in fields))

    def hidden(self) -> Iterator[forms.BoundField]:
        for form in self.forms:
            yield from form.hidden_fields()


def _days(label: str, help_text: str = "") -> forms.IntegerField:
    return forms.IntegerField(
        label=label, help_text=help_text, min_value=1, max_value=1000,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={"required": "A whole number of days."},
    )  # fmt: skip


class ClinicTextForm(forms.Form):
    """The director's wording of what a caller is told, and the days of the due list."""

    use_required_attribute = False
    tell = forms.CharField(
        label="What to tell the patient", max_length=4000,
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text="One instruction a line; [time] stands for the time the patient is expected.",
        error_messages={"required": "A caller has to be told something.", "max_length": TOO_LONG},
    )  # fmt: skip
    send_at_once = forms.CharField(
        label="With a red flag: where to send the patient", max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={
            "required": "Say where a patient with a red flag goes.", "max_length": TOO_LONG,
        },
    )  # fmt: skip
    reassessment_days = _days("Reassessment of technique, days after the latest training")
    exit_site_check_days = _days("Exit-site check, days after the latest")
    retraining_days = _days(
        "Retraining, days after an event",
        "The events: peritonitis, exit-site or tunnel infection, a long hospital stay, PD "
        "interrupted, a contamination, a critical error observed.",
    )
    long_stay_days = _days("A hospital stay is long from this many days on")
    reason = reason_field(required=True)


def text_form(wording: Wording, data: Mapping[str, Any] | None) -> ClinicTextForm:
    names = [name for name in ClinicTextForm.base_fields if name != "reason"]
    return ClinicTextForm(data=data, initial={name: getattr(wording, name) for name in names})
