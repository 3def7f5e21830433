"""Routes that read: the clinics in sight, the person's own account, the API's description."""

from __future__ import annotations

from functools import cache
from typing import Any, ClassVar
from uuid import UUID

from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.utils import OpenApiParameter
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from clinic.api.base import ApiView
from clinic.api.problems import Rejected
from clinic.api.rows import BodySerializer
from clinic.models import Clinic, Person
from clinic.reading import shown
from clinic.roles import clinics_where, grants_now
from clinic.views.access import reader_clinic, require


class ReadingView(ApiView):
    """A route whose query takes nothing."""

    name: ClassVar[str]
    tag: ClassVar[str] = "access"
    told: ClassVar[dict[str, str]] = {}

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        if unknown := {shown(name): ["unknown; none allowed"] for name in request.query_params}:
            raise Rejected(unknown)

    @classmethod
    def parameters(cls, method: str) -> list[OpenApiParameter]:
        return []


class ClinicSerializer(serializers.Serializer):
    uid = serializers.UUIDField()
    code = serializers.CharField()
    name = serializers.CharField()
    time_zone = serializers.CharField()
    network = serializers.CharField()


class ClinicsSerializer(serializers.Serializer):
    results = ClinicSerializer(many=True)


class Clinics(ReadingView):
    """The clinics that the person may read, and no other."""

    name = "clinics"
    gives: ClassVar[dict[Any, Any]] = {"GET": ClinicsSerializer}

    def get(self, request: Request) -> Response:
        require(request, "clinic.read")
        found = clinics_where(request.user, "clinic.read")
        return Response({"results": [ClinicSerializer(each).data for each in found]})


class OneClinic(ReadingView):
    name = "clinic"
    gives: ClassVar[dict[Any, Any]] = {"GET": ClinicSerializer}

    def get(self, request: Request, clinic_uid: UUID) -> Response:
        found: Clinic = reader_clinic(request, "clinic.read", clinic_uid)
        return Response(ClinicSerializer(found).data)


class GrantSerializer(serializers.Serializer):
    role = serializers.CharField()
    clinic = serializers.UUIDField(source="clinic.uid", default=None, allow_null=True)
    network = serializers.CharField()
    quarters = serializers.ListField(child=serializers.CharField())
    first_day = serializers.DateField()
    last_day = serializers.DateField(allow_null=True)


class AccountSerializer(serializers.Serializer):
    uid = serializers.UUIDField()
    username = serializers.CharField()
    name = serializers.CharField()
    grants = GrantSerializer(many=True)


class NothingSerializer(BodySerializer):
    """Nothing of an account is the client's to set."""


class Account(ReadingView):
    """Who calls, and what the grants (or the token's part of them) open."""

    name = "account"
    takes: ClassVar[dict[Any, Any]] = {"PATCH": NothingSerializer}
    gives: ClassVar[dict[Any, Any]] = {"GET": AccountSerializer, "PATCH": AccountSerializer}

    def get(self, request: Request) -> Response:
        return Response(_account(request.user))

    def patch(self, request: Request) -> Response:
        NothingSerializer.read(request.data)
        return Response(_account(request.user))


def _account(person: Person) -> dict[str, Any]:
    told = {"uid": person.uid, "username": person.username, "name": person.name}
    return AccountSerializer(told | {"grants": grants_now(person)}).data


class Document(ReadingView):
    """The OpenAPI document; it holds columns and choices, nothing of any record."""

    schema = None

    def get(self, request: Request) -> Response:
        require(request, "api.schema")
        return Response(document())


@cache
def document() -> dict[str, Any]:
    return SchemaGenerator().get_schema(request=None, public=True)
