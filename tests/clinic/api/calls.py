"""How tests speak to the API: JSON in, JSON out, a token or a session."""

from __future__ import annotations

import json
from datetime import date
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.test import Client

from clinic.actions.tokens import create_token
from clinic.models import Clinic, Person

PROBLEM = "application/problem+json"
NOWHERE = UUID("00000000-0000-4000-8000-000000000000")


class Caller:
    """One caller of the API."""

    def __init__(self, person: Person | None = None, secret: str = "", **client: Any) -> None:
        self.client = Client(**client)
        self.headers = {"Authorization": f"Bearer {secret}"} if secret else {}
        if person is not None:
            self.client.force_login(person, "django.contrib.auth.backends.ModelBackend")

    def __call__(self, method: str, path: str, body: Any = None, **headers: str) -> HttpResponse:
        sent = body if isinstance(body, str | bytes) else json.dumps(body)
        told = {"content_type": "application/json", "data": sent} if body is not None else {}
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        address = f"/api/{path}"
        return self.client.generic(method, address, headers=self.headers | named, **told)


def token_for(person: Person, role: str, *clinics: Clinic, last_day: date | None = None) -> str:
    """The secret of a new token."""
    day = last_day or date(2026, 3, 1)
    return create_token(by=person, name="test", role=role, clinics=clinics, last_day=day)[1]


def errors_of(answer: HttpResponse) -> dict[str, list[str]]:
    assert answer.status_code == 400, answer.content
    assert answer["Content-Type"] == PROBLEM
    return answer.json()["errors"]
