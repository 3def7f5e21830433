"""Routes of one subject of the record: its list, one row, a withdrawal."""

from __future__ import annotations

import uuid
from functools import partial
from typing import Any, ClassVar
from uuid import UUID

from django.db.models import QuerySet
from django.http import Http404
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response

from clinic.actions import writing
from clinic.actions.reading import log_read
from clinic.actions.refusals import Conflict
from clinic.actions.rights import RIGHTS
from clinic.actions.submissions import SentBefore, once
from clinic.api import rows as rows_of
from clinic.api.base import ApiView
from clinic.api.filters import Asked, filter_names, ordering_names
from clinic.api.limits import KEY_CHARACTERS, MOST_PAGE_ROWS
from clinic.api.problems import Rejected
from clinic.blinding import JUDGEMENT, hidden_episodes, is_hidden, open_to
from clinic.capabilities import CAPABILITIES
from clinic.lineage import path_to_clinic, path_to_patient, patient_of
from clinic.models import MODELS, Clinic, Patient, RecordRow
from clinic.roles import can
from clinic.views.access import get_in_sight, reader_clinic, require

KEY_HEADER = "Idempotency-Key"
_KEYS = uuid.UUID("6f2f8a52-6a0c-4d6e-9d0b-3d5f0f0f7a11")  # only to turn any text into a UUID


class SubjectView(ApiView):
    """Rows of one subject in one clinic, for who may read them there."""

    model: ClassVar[type[RecordRow]]
    name: ClassVar[str]
    tag: ClassVar[str]
    told: ClassVar[dict[str, str]] = {}

    @property
    def rights(self) -> Any:
        return RIGHTS[self.model.subject.name]

    def clinic_in_sight(self, request: Request, capability: str) -> Clinic:
        """The clinic of the address, if the person reads its living record."""
        clinic = reader_clinic(request, capability, self.kwargs["clinic_uid"])
        if not can(request.user, capability, Patient(clinic=clinic)):
            raise Http404  # a grant that reaches snapshots alone
        self.clinic = clinic
        return clinic

    def in_sight(self, model: type[RecordRow]) -> QuerySet[Any]:
        """Standing rows of this clinic, with the way up to their patient."""
        found = model.objects.filter(**{path_to_clinic(model): self.clinic}, withdrawn_at=None)
        found = open_to(found, self.request.user)
        way = path_to_patient(model)
        return found.select_related(*([way] if way else []))

    @property
    def context(self) -> dict[str, Any]:
        return {"clinic": self.clinic, "in_sight": self.in_sight, "warnings": {}}

    def shown(self, row: RecordRow) -> dict[str, Any]:
        return self._without_hidden(row, rows_of.given(self.model)(row, context=self.context).data)

    def _without_hidden(self, row: RecordRow, told: dict[str, Any]) -> dict[str, Any]:
        """Null, like what nobody has judged yet, for who is to judge without sight of it."""
        hidden = JUDGEMENT & set(told) if is_hidden(row, self.request.user) else ()
        return {**told, **dict.fromkeys(hidden)}

    def answer(self, row: RecordRow, context: dict[str, Any], status: int = 200) -> Response:
        said = [f"{name}: {one}" for name, many in context["warnings"].items() for one in many]
        row.warnings = [*said, *row.warnings]
        told = rows_of.written(self.model)(row, context=context).data
        return Response(self._without_hidden(row, told), status=status)

    def log(self, request: Request, rows: list[RecordRow]) -> None:
        log_read(
            clinic=self.clinic, by=request.user, page=f"api/{self.model.subject.name}",
            patients=map(patient_of, rows), source=request.META.get("REMOTE_ADDR", ""),
        )  # fmt: skip

    def row_in_sight(self, request: Request) -> Any:
        self.clinic_in_sight(request, self.rights.read)
        return get_in_sight(request, self.in_sight(self.model), self.kwargs["uid"])

    @classmethod
    def parameters(cls, method: str) -> list[OpenApiParameter]:
        return []


class Rows(SubjectView):
    """GET a page of rows, POST a new one."""

    def get(self, request: Request, clinic_uid: UUID) -> Response:
        self.clinic_in_sight(request, list_capability(self.rights.read))
        asked = Asked(self.model, request.query_params, self.clinic)
        page = asked.page(asked.rows(self._listed(request), self.in_sight))
        self.log(request, page["results"])
        return Response(page | {"results": [self.shown(row) for row in page["results"]]})

    def _listed(self, request: Request) -> QuerySet[Any]:
        """A filter by the first judgement passes over what is hidden from the person."""
        rows = self.in_sight(self.model)
        if self.model.subject.name == "peritonitis" and JUDGEMENT & set(request.query_params):
            return rows.exclude(pk__in=hidden_episodes(request.user))
        return rows

    def post(self, request: Request, clinic_uid: UUID) -> Response:
        require(request, self.rights.record)
        clinic = self.clinic_in_sight(request, self.rights.read)
        require(request, self.rights.record, clinic)
        key, context = _submission_key(request), self.context
        values = rows_of.to_record(self.model).read(request.data, context=context)
        reason = values.pop(rows_of.reason_name(self.model.subject), "")
        parent = values.pop(rows_of.parent_name(self.model), clinic)
        make = partial(
            writing.record, self.model, parent=parent, by=request.user, values=values, reason=reason
        )
        try:
            row = once(
                by=request.user, key=key, subject=self.model.subject.name,
                sent={"parent": parent.uid, **values}, make=lambda uid: make(uid=uid),
            )  # fmt: skip
        except SentBefore as sent:
            raise Rejected({KEY_HEADER: ["was sent before with another body"]}) from sent
        return self.answer(row, context, status=201)

    @classmethod
    def parameters(cls, method: str) -> list[OpenApiParameter]:
        if method == "POST":
            told = "Any text; the same key with the same body gives the same row once."
            return [OpenApiParameter(KEY_HEADER, str, "header", description=told)]
        orders = ordering_names(cls.model)
        both = [*orders, *(f"-{name}" for name in orders)]
        return [
            *(OpenApiParameter(name, str, "query") for name in filter_names(cls.model)),
            OpenApiParameter("ordering", str, "query", enum=both),
            OpenApiParameter("page", {"type": "integer", "minimum": 1}, "query"),
            OpenApiParameter(
                "page_size", {"type": "integer", "minimum": 1, "maximum": MOST_PAGE_ROWS}, "query"
            ),
        ]


class Row(SubjectView):
    """GET one row, PATCH what changed."""

    def get(self, request: Request, clinic_uid: UUID, uid: UUID) -> Response:
        row = self.row_in_sight(request)
        self.log(request, [row])
        return Response(self.shown(row))

    def patch(self, request: Request, clinic_uid: UUID, uid: UUID) -> Response:
        require(request, self.rights.amend)
        row = self.row_in_sight(request)
        require(request, self.rights.amend, row)
        self.log(request, [row])
        context = self.context
        values = self._read(request, row, context)
        version, reason = values.pop("version"), values.pop(self._reason, "")
        row = writing.amend(row, by=request.user, version=version, values=values, reason=reason)
        return self.answer(row, context)

    @property
    def _reason(self) -> str:
        return rows_of.reason_name(self.model.subject)

    def _read(self, request: Request, row: RecordRow, context: dict[str, Any]) -> dict[str, Any]:
        """A stale version is told before a fault in the fields."""
        try:
            return rows_of.to_amend(self.model).read(request.data, context=context)
        except Rejected as rejected:
            sent = request.data.get("version") if isinstance(request.data, dict) else None
            if "version" not in rejected.errors and str(sent) != str(row.version):
                raise Conflict(row) from rejected
            raise


class Withdrawal(SubjectView):
    """POST takes a row out of every list; its history stays."""

    def post(self, request: Request, clinic_uid: UUID, uid: UUID) -> Response:
        require(request, self.rights.withdraw)
        row = self.row_in_sight(request)
        require(request, self.rights.withdraw, row)
        values = rows_of.WithdrawSerializer.read(request.data)
        row = writing.withdraw(row, by=request.user, **values)
        return Response({"uid": row.uid, "version": row.version, "withdrawn": True})


def list_capability(read: str) -> str:
    listed = read.replace(".read", ".list")
    return listed if listed in CAPABILITIES else read


def _submission_key(request: Request) -> UUID:
    """A call without a key is a submission of its own."""
    sent = request.headers.get(KEY_HEADER)
    if sent is None:
        return uuid.uuid4()
    if not 0 < len(sent) <= KEY_CHARACTERS:
        raise Rejected({KEY_HEADER: [f"1 to {KEY_CHARACTERS} characters (setting)"]})
    return uuid.uuid5(_KEYS, sent)


def views_of(subject: str) -> tuple[type[Rows], type[Row], type[Withdrawal]]:
    """The three routes of a subject, as classes that the document can name."""
    model = MODELS[subject]
    row, written = rows_of.given(model), rows_of.written(model)
    common = {"model": model, "tag": subject, "field_names": _field_names(model)}
    many = common | {
        "name": subject,
        "takes": {"POST": rows_of.to_record(model)},
        "gives": {"GET": rows_of.page_of(model), ("POST", 201): written},
    }
    one = common | {
        "name": f"{subject}_row",
        "takes": {"PATCH": rows_of.to_amend(model)},
        "gives": {"GET": row, "PATCH": written},
    }
    away = common | {
        "name": f"{subject}_withdrawal",
        "takes": {"POST": rows_of.WithdrawSerializer},
        "gives": {"POST": rows_of.WithdrawnSerializer},
    }
    return (
        type(f"{model.__name__}Rows", (Rows,), many),
        type(f"{model.__name__}Row", (Row,), one),
        type(f"{model.__name__}Withdrawal", (Withdrawal,), away),
    )


def _field_names(model: type[RecordRow]) -> dict[str, str]:
    return {"reason": rows_of.reason_name(model.subject)}
