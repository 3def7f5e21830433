"""Who calls: a program with a token (RFC 6750), or the browser of a person who is signed in."""

from __future__ import annotations

from rest_framework.authentication import BaseAuthentication
from rest_framework.exceptions import AuthenticationFailed, PermissionDenied
from rest_framework.permissions import SAFE_METHODS
from rest_framework.request import Request

from clinic.actions.tokens import READ_ONLY_ROLES, token_of_secret, used
from clinic.models import Person, Token

_SCHEME = "bearer"


class BearerToken(BaseAuthentication):
    """The token is judged anew at each request; what it may, its owner may at this moment."""

    def authenticate(self, request: Request) -> tuple[Person, Token] | None:
        scheme, _, secret = request.headers.get("Authorization", "").partition(" ")
        if scheme.lower() != _SCHEME:
            return None
        token = token_of_secret(secret.strip())
        if token is None:
            raise AuthenticationFailed
        if token.role in READ_ONLY_ROLES and request.method not in SAFE_METHODS:
            raise PermissionDenied("A token of this role reads and does not write.")
        used(token)
        return token.person, token

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="api"'
