"""The API's own description (OpenAPI 3), from the same fields and filters that judge a request."""

from __future__ import annotations

from typing import Any

from drf_spectacular.extensions import (
    OpenApiAuthenticationExtension,
    OpenApiSerializerFieldExtension,
)
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse
from rest_framework import serializers

from clinic.columns import Column

_REFUSALS = {
    400: "The content is at fault.",
    401: "Nobody is signed in, or the token does not hold.",
    403: "Not for this person.",
    404: "No such thing in this person's sight.",
    405: "Not a method of this address.",
    409: "Changed since it was read.",
    413: "The body is too large.",
    415: "The body is not JSON.",
    503: "Nothing was stored; try again.",
}
_OF_READING = (400, 401, 403, 404, 503)
_OF_WRITING = tuple(_REFUSALS)


class ProblemSerializer(serializers.Serializer):
    """Problem details (RFC 9457)."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()
    errors = serializers.DictField(
        child=serializers.ListField(child=serializers.CharField()), required=False
    )


class RouteSchema(AutoSchema):
    """Reads `takes`, `gives` and `parameters` of the route."""

    def get_operation_id(self) -> str:
        return f"{self.view.name}_{self.method.lower()}"

    def get_tags(self) -> list[str]:
        return [self.view.tag]

    def get_description(self) -> str:
        return (self.view.told or {}).get(self.method, "")

    def get_request_serializer(self) -> Any:
        return self.view.takes.get(self.method)

    def get_response_serializers(self) -> Any:
        refusals = _OF_WRITING if self.method in self.view.takes else _OF_READING
        told = {
            (status, "application/problem+json"): OpenApiResponse(
                ProblemSerializer, _REFUSALS[status]
            )
            for status in refusals
        }
        good = 201 if (self.method, 201) in self.view.gives else 200
        answer = self.view.gives.get((self.method, good)) or self.view.gives.get(self.method)
        return {(good, "application/json"): answer, **told}

    def get_override_parameters(self) -> list[OpenApiParameter]:
        return self.view.parameters(self.method)


class CellSchema(OpenApiSerializerFieldExtension):
    """A column as JSON Schema: its kind, its choices, its limits."""

    target_class = "clinic.api.cells.CellField"

    def map_serializer_field(self, auto_schema: AutoSchema, direction: str) -> dict[str, Any]:
        column: Column = self.target.column
        told = _KINDS.get(column.kind, _text)(column)
        if not column.required or direction == "response":
            told["nullable"] = True
        if told.get("nullable") and "enum" in told:
            told["enum"] = [*told["enum"], None]
        return told


def _text(column: Column) -> dict[str, Any]:
    return {"type": "string"}


def _number(column: Column) -> dict[str, Any]:
    told: dict[str, Any] = {"type": "integer" if column.kind == "whole" else "number"}
    if column.minimum is not None:
        told["minimum"] = column.minimum
    if column.above is not None:
        told |= {"minimum": column.above, "exclusiveMinimum": True}
    if column.maximum is not None:
        told["maximum"] = column.maximum
    return told


def _choice(column: Column) -> dict[str, Any]:
    return {"type": "string", "enum": list(column.choices)}


def _several(column: Column) -> dict[str, Any]:
    return {"type": "array", "items": {"type": "string", "enum": list(column.choices)}}


_KINDS = {
    "number": _number,
    "whole": _number,
    "choice": _choice,
    "yes_no": _choice,
    "several": _several,
    "day": lambda column: {"type": "string", "format": "date"},
    "moment": lambda column: {"type": "string", "format": "date-time"},
}


class _TextSchema(OpenApiSerializerFieldExtension):
    target_class = "clinic.api.rows.ReasonField"

    def map_serializer_field(self, auto_schema: AutoSchema, direction: str) -> dict[str, Any]:
        return {"type": "string"}


class _VersionSchema(OpenApiSerializerFieldExtension):
    target_class = "clinic.api.rows.VersionField"

    def map_serializer_field(self, auto_schema: AutoSchema, direction: str) -> dict[str, Any]:
        return {"type": "integer", "minimum": 1}


class _BearerSchema(OpenApiAuthenticationExtension):
    target_class = "clinic.api.authentication.BearerToken"
    name = "token"

    def get_security_definition(self, auto_schema: AutoSchema) -> dict[str, Any]:
        return {"type": "http", "scheme": "bearer"}
