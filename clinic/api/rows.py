"""What the API takes and gives for each subject, made from its columns."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from rest_framework import serializers
from rest_framework.exceptions import ValidationError

from clinic.actions.rights import REASON_CHARACTERS as SHORTEST_REASON
from clinic.api.cells import CellField
from clinic.api.limits import REASON_CHARACTERS
from clinic.api.parsing import IntegerText, NumberText
from clinic.api.problems import WHOLE, Rejected
from clinic.columns import Column, Subject
from clinic.models import MODELS, Patient, RecordRow
from clinic.reading import CellFault, shown
from clinic.reading.texts import require_storable

NUMBER = Column(
    "number", "text", "The clinic's own record number; no names are stored.", "Record number",
    required=True,
)  # fmt: skip


class ReasonField(serializers.Field):
    """Why a person writes: a text, judged by the action."""

    def __init__(self) -> None:
        told = f"Why, in at least {SHORTEST_REASON} visible characters."
        super().__init__(required=False, default="", help_text=told)

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str) or isinstance(data, NumberText):
            raise ValidationError("Write it as text, in quotation marks.")
        if len(data) > REASON_CHARACTERS:
            raise ValidationError(f"At most {REASON_CHARACTERS} characters (setting).")
        try:
            require_storable(data)
        except CellFault as fault:
            raise ValidationError(fault.sentence) from fault
        return data


class VersionField(serializers.Field):
    """The version that the caller read."""

    def __init__(self) -> None:
        told = "The version that was read; one that has grown since is a conflict."
        super().__init__(help_text=told)

    default_error_messages = {"required": "Say which version you read."}

    def to_internal_value(self, data: Any) -> int:
        if not isinstance(data, IntegerText) or not 0 < len(data) < 10 or int(data) < 1:
            raise ValidationError("A whole number from 1, as it was read.")
        return int(data)


class ParentField(serializers.UUIDField):
    """The row that the new one hangs on; outside the person's sight there is none."""

    def __init__(self, model: type[RecordRow]) -> None:
        none = f"no such {model.subject.one}"
        super().__init__(
            help_text=f"The uid of the {model.subject.one}.",
            error_messages={"invalid": none, "null": none, "required": "must be filled"},
        )
        self.model = model

    def to_internal_value(self, data: Any) -> RecordRow:
        uid = super().to_internal_value(str(data)[:64])
        found = self.context["in_sight"](self.model).filter(uid=uid).first()
        if found is None:
            self.fail("invalid")
        return found


class BodySerializer(serializers.Serializer):
    """A body; a field that is not ours to take is refused by its name."""

    @classmethod
    def read(cls, body: Any, **kwargs: Any) -> dict[str, Any]:
        serializer = cls(data=body, **kwargs)
        errors = serializer.faults()
        if errors:
            raise Rejected(errors)
        return serializer.validated_data

    def faults(self) -> dict[str, list[str]]:
        if not isinstance(self.initial_data, Mapping):
            return {WHOLE: ["The body has to be a JSON object."]}
        self.is_valid()
        errors = {name: [str(each) for each in told] for name, told in self.errors.items()}
        allowed = ", ".join(self.fields) or "none"
        for name in self.initial_data:
            if name not in self.fields:
                errors[shown(name)] = [f"unknown field; fields here: {allowed}"]
        return errors


class RowSerializer(serializers.Serializer):
    """A row as it is given; `parent` and columns follow."""

    uid = serializers.UUIDField(help_text="Random id; the row's address.")
    version = serializers.IntegerField(help_text="Grows with every change.")
    recorded_at = serializers.DateTimeField()


def reason_name(subject: Subject) -> str:
    """`reason`, unless the record has a column of that name."""
    taken = any(column.name == "reason" for column in subject)
    return "change_reason" if taken else "reason"


def parent_name(model: type[RecordRow]) -> str:
    """The field that names the parent; a patient's clinic stands in the address."""
    return "" if model.parent_field in ("", "clinic") else model.parent_field


def columns_of(model: type[RecordRow]) -> list[Column]:
    """The subject's columns, with the patient's record number before its own."""
    return [*([NUMBER] if model is Patient else []), *model.subject]


def _cells(columns: list[Column], may_lack: bool = False) -> dict[str, serializers.Field]:
    return {column.name: CellField(column, may_lack=may_lack) for column in columns}


def _made(model: type[RecordRow], base: type, ending: str, fields: dict[str, Any]) -> type:
    return type(f"{model.__name__}{ending}", (base,), {"__doc__": None, **fields})


@cache
def given(model: type[RecordRow]) -> type[RowSerializer]:
    fields: dict[str, Any] = {}
    if name := parent_name(model):
        fields[name] = serializers.UUIDField(source=f"{name}.uid")
    return _made(model, RowSerializer, "", fields | _cells(columns_of(model)))


@cache
def written(model: type[RecordRow]) -> type[RowSerializer]:
    """A row after a write, with what the checks found odd about it."""
    warnings = serializers.ListField(child=serializers.CharField())
    return _made(model, given(model), "Written", {"warnings": warnings})


@cache
def to_record(model: type[RecordRow]) -> type[BodySerializer]:
    fields: dict[str, Any] = {}
    if name := parent_name(model):
        fields[name] = ParentField(MODELS[model.subject.parent])
    fields |= _cells(columns_of(model))
    return _made(
        model, BodySerializer, "Record", fields | {reason_name(model.subject): ReasonField()}
    )


@cache
def to_amend(model: type[RecordRow]) -> type[BodySerializer]:
    fields = {"version": VersionField(), **_cells(list(model.subject), may_lack=True)}
    return _made(
        model, BodySerializer, "Amend", fields | {reason_name(model.subject): ReasonField()}
    )


class WithdrawSerializer(BodySerializer):
    version = VersionField()
    reason = ReasonField()


class WithdrawnSerializer(serializers.Serializer):
    uid = serializers.UUIDField()
    version = serializers.IntegerField()
    withdrawn = serializers.BooleanField()


@cache
def page_of(model: type[RecordRow]) -> type[serializers.Serializer]:
    fields: dict[str, Any] = {
        "count": serializers.IntegerField(),
        "page": serializers.IntegerField(),
        "pages": serializers.IntegerField(),
        "next": serializers.CharField(allow_null=True, help_text="Query of the next page."),
        "previous": serializers.CharField(allow_null=True),
        "results": given(model)(many=True),
    }
    return _made(model, serializers.Serializer, "Page", fields)
