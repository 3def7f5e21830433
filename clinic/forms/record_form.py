"""The form of one subject of the record, made from its columns."""

from __future__ import annotations

import re
import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms import BoundField

from clinic.actions.refusals import Refused
from clinic.columns import Subject
from clinic.forms.fields import CellField
from clinic.forms.groups import groups_of
from clinic.forms.questions import question_about
from clinic.models import Clinic


@dataclass(frozen=True)
class Asked:
    """One field as the page draws it: the box, and the question about what was typed."""

    field: BoundField
    question: BoundField | None = None
    theirs: str = ""  # what somebody else wrote here meanwhile


@dataclass(frozen=True)
class Group:
    title: str
    fields: tuple[Asked, ...]


class RecordForm(forms.Form):
    """Fields of the subject's columns; `values` are what was read, keyed by column."""

    use_required_attribute = False  # the summary on the page says it, in the page's words

    def __init__(
        self,
        *,
        subject: Subject,
        clinic: Clinic,
        only: Iterable[str] | None = None,
        asks_reason: bool = False,
        **kwargs: Any,
    ) -> None:
        super().__init__(**kwargs)
        self.subject = subject
        self.meanwhile: dict[str, str] = {}
        chosen = set(only) if only is not None else {column.name for column in subject}
        self.columns = [column for column in subject if column.name in chosen]
        self.layout = groups_of(subject.name, [column.name for column in self.columns])
        for column in self.columns:
            self.fields[column.name] = CellField(column, clinic)
        self.fields["submission"] = forms.UUIDField(
            widget=forms.HiddenInput, required=False, initial=uuid.uuid4
        )
        if asks_reason:
            self.fields["reason"] = reason_field(required=True)
        self._ask_questions()

    def _ask_questions(self) -> None:
        """An odd value brings its question along; the answer is read in place of what was typed."""
        self.questions: dict[str, str] = {}
        for column in self.columns if self.is_bound else ():
            typed = self.data.get(self.add_prefix(column.name), "").strip()
            question = question_about(self.fields[column.name], typed) if typed else None
            if question is not None:
                # The name holds what was typed: an answer fits no other text.
                name = self.questions[column.name] = f"answer-{column.name}-{typed}"
                self.fields[name] = forms.ChoiceField(
                    label=question.sentence, choices=question.answers, required=False,
                    widget=forms.RadioSelect,
                )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        for column, name in self.questions.items():
            self._errors.pop(column, None)
            if answer := self.cleaned_data.get(name):
                self.cleaned_data[column] = self.fields[column].clean(answer)
            else:
                self.add_error(column, "Please answer the question, or write it anew.")
        return self.cleaned_data

    @property
    def values(self) -> dict[str, Any]:
        return {column.name: self.cleaned_data[column.name] for column in self.columns}

    @property
    def submission_key(self) -> uuid.UUID:
        """A page without a key (sent by hand) is a submission of its own."""
        return self.cleaned_data.get("submission") or uuid.uuid4()

    @property
    def given_reason(self) -> str:
        return self.cleaned_data.get("reason", "")

    def add_refusal(self, refused: Refused) -> None:
        """Put each fault at its field; one without a field here stands above the form."""
        for fault in refused.faults:
            known = fault.field in self.fields
            self.add_error(fault.field if known else None, plain_words(fault.sentence))

    def groups(self) -> Iterator[Group]:
        for title, names in self.layout:
            yield Group(title, tuple(self.asked(name) for name in names if name in self.fields))

    def asked(self, name: str) -> Asked:
        question = self.questions.get(name)
        return Asked(self[name], self[question] if question else None, self.meanwhile.get(name, ""))


def plain_words(sentence: str) -> str:
    """A check's sentence without the file's column names: onset_on is onset to a reader."""
    plain = re.sub(r"\b([a-z]+(?:_[a-z]+)*)_(?:on|at)\b", r"\1", sentence).replace("_", " ")
    return f"{plain[0].upper()}{plain[1:]}" if plain else plain


# Django's own sentence for it is not in our words.
TOO_LONG = "At most %(limit_value)d characters, this has %(show_value)d."


def reason_field(*, required: bool) -> forms.CharField:
    return forms.CharField(
        label="Why",
        required=required,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="At least 10 characters, no names of patients. It stays with the change.",
        error_messages={
            "required": "Say why in a few words (at least 10 characters).",
            "max_length": TOO_LONG,
        },
    )
