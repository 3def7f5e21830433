"""What every record row has: fields from its columns, an address, a version, who wrote it when."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models.base import ModelBase
from django.db.models.functions import Now

from clinic.columns import Column, Subject

Q = models.Q


def _text_field(column: Column) -> models.Field:
    return models.CharField(column.ask, max_length=200, blank=not column.required, default="")


def _note_field(column: Column) -> models.Field:
    return models.TextField(column.ask, blank=True, default="")


def _several_field(column: Column) -> models.Field:
    return models.CharField(column.ask, max_length=400, blank=True, default="")


def _choice_field(column: Column) -> models.Field:
    return models.CharField(column.ask, max_length=32, blank=not column.required, default="")


def _day_field(column: Column) -> models.Field:
    return models.DateField(column.ask, null=not column.required, blank=not column.required)


def _moment_field(column: Column) -> models.Field:
    return models.DateTimeField(column.ask, null=not column.required, blank=not column.required)


def _number_field(column: Column) -> models.Field:
    return models.FloatField(column.ask, null=True, blank=True)


def _whole_field(column: Column) -> models.Field:
    return models.IntegerField(column.ask, null=True, blank=True)


_FIELDS = {
    "text": _text_field,
    "organism": _text_field,
    "note": _note_field,
    "several": _several_field,
    "choice": _choice_field,
    "yes_no": _choice_field,
    "day": _day_field,
    "moment": _moment_field,
    "number": _number_field,
    "whole": _whole_field,
}


def _bounds(column: Column) -> Q | None:
    """The condition that the database itself holds for one column, if any."""
    if column.choices and column.kind != "several":
        allowed = column.choices if column.required else ("", *column.choices)
        return Q(**{f"{column.name}__in": allowed})
    if column.kind in ("text", "organism") and column.required:
        return ~Q(**{column.name: ""})
    limits = {"gte": column.minimum, "gt": column.above, "lte": column.maximum}
    named = {f"{column.name}__{how}": value for how, value in limits.items() if value is not None}
    return Q(**named) if named else None


def _constraints(subject: Subject) -> list[models.BaseConstraint]:
    """Check constraints of the columns and of their order in time; empty values pass."""
    checks = [
        models.CheckConstraint(condition=condition, name=f"{subject.name}_{column.name}_allowed")
        for column in subject
        if (condition := _bounds(column)) is not None
    ]
    checks += [
        models.CheckConstraint(
            condition=Q(**{f"{later}__gte": models.F(earlier)}),
            name=f"{subject.name}_{later}_order",
        )
        for earlier, later in subject.order
    ]
    checks.append(
        models.CheckConstraint(
            condition=Q(withdrawn_at=None, withdrawn_by=None, withdrawn_reason="")
            | (Q(withdrawn_at__isnull=False) & ~Q(withdrawn_reason="")),
            name=f"{subject.name}_withdrawn_whole",
        )
    )
    return checks


def _unique(subject: Subject, parent: str) -> models.UniqueConstraint:
    """One standing row a key; a withdrawn row leaves its key free."""
    keys = tuple(column.name for column in subject.key_columns)
    return models.UniqueConstraint(
        fields=(parent, *keys), condition=Q(withdrawn_at=None), name=f"{subject.name}_one_a_key"
    )


class RecordBase(ModelBase):
    """Gives a model with `subject` the fields and constraints that its columns declare."""

    def __new__(mcs, name: str, bases: tuple, attrs: dict[str, Any], **kwargs: Any) -> type:
        subject: Subject | None = attrs.get("subject")
        if subject is not None:
            for column in subject:
                attrs.setdefault(column.name, _FIELDS[column.kind](column))
            meta = attrs.get("Meta") or type("Meta", (), {})
            constraints = [*getattr(meta, "constraints", ()), *_constraints(subject)]
            if subject.key_columns:
                constraints.append(_unique(subject, attrs["parent_field"]))
            meta.constraints = constraints
            attrs["Meta"] = meta
        return super().__new__(mcs, name, bases, attrs, **kwargs)


class RecordRow(models.Model, metaclass=RecordBase):
    """Abstract base of every subject of the record; nothing clinical is ever deleted."""

    subject: Subject
    parent_field: str  # the foreign key that leads to whose row this is
    warnings: Sequence[str] = ()  # what the checks said when an action stored this row

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)
    recorded_at = models.DateTimeField(db_default=Now(), editable=False)
    # Columns that a person wrote last: a file may not overwrite them unasked.
    hand_columns = models.JSONField(default=list, blank=True, editable=False)
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_reason = models.CharField(max_length=400, blank=True, default="", editable=False)

    class Meta:
        abstract = True

    @property
    def parent(self) -> RecordRow | None:
        return getattr(self, self.parent_field) if self.parent_field else None
