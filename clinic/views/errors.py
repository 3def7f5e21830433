"""The page for what is not there, or not for this person: the two cannot be told apart."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from clinic.models import Grant
from clinic.roles import grants_now


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Without the sign-out button: its token would make each answer differ from the next."""
    context = {"person_label": "", **_access(request)}
    return render(request, "404.html", context, status=404)


def _access(request: HttpRequest) -> dict[str, list[Grant]]:
    """From the person's own grants only: what is open to them, and what ended."""
    person = getattr(request, "user", None)
    if person is None or not person.is_authenticated:
        return {}
    standing = grants_now(person)
    kept = {grant.pk for grant in standing}
    ended = person.grants.exclude(pk__in=kept).select_related("clinic").order_by("pk")
    return {"open_grants": standing, "ended_grants": list(ended)}
