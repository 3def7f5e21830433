"""What every route of the API shares: sign-in first, then rights, then content; no other verbs."""

from __future__ import annotations

from typing import Any, ClassVar

from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from clinic.api.documents import RouteSchema
from clinic.api.problems import problem
from clinic.models import RecordRow


class ApiView(APIView):
    """Answers in JSON; OPTIONS names the methods and nothing of the record."""

    schema = RouteSchema()
    takes: ClassVar[dict[str, Any]] = {}  # method: serializer of its body
    gives: ClassVar[dict[str, Any]] = {}  # method: serializer of its answer
    field_names: ClassVar[dict[str, str]] = {}  # of an action: as the API names it

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        """A method that no route takes is refused before anything is looked up."""
        super().initial(request, *args, **kwargs)
        if getattr(self, request.method.lower(), None) is None:
            self.http_method_not_allowed(request)

    def options(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        return Response({"methods": self.allowed_methods})

    def shown(self, row: RecordRow) -> dict[str, Any]:
        raise NotImplementedError


class Nowhere(ApiView):
    """Every address below /api/ that is none: sign-in first, then the same body as for any id."""

    schema = None

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super(ApiView, self).initial(request, *args, **kwargs)

    def http_method_not_allowed(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        return problem(404)
