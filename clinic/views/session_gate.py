"""Between cookie and page: an ended session is nobody's, a half-finished sign-in reads nothing."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlencode

from django.contrib.auth import logout
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from clinic.actions.second_factor import needs_second_factor
from clinic.actions.sessions import open_session
from clinic.roles import read_grants_once


def session_gate(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable:
    def answer(request: HttpRequest) -> HttpResponse:
        request.open_session = None
        if request.user.is_authenticated:
            request.open_session = open_session(request)
            if request.open_session is None:
                logout(request)
            elif _waits_for_code(request):
                return _ask_code(request, get_response)
            elif request.method in ("GET", "HEAD") and not request.path.startswith("/api/"):
                read_grants_once(request.user)
        return get_response(request)

    return answer


def _waits_for_code(request: HttpRequest) -> bool:
    session = request.open_session
    return session.second_factor_at is None and needs_second_factor(request.user)


def _ask_code(
    request: HttpRequest, get_response: Callable[[HttpRequest], HttpResponse]
) -> HttpResponse:
    """The two pages of the second factor and sign-out work; the API sees nobody."""
    pages = [reverse(name) for name in ("second_factor", "set_up_second_factor", "sign_out")]
    if request.path in pages:
        return get_response(request)
    if request.path.startswith("/api/"):
        request.user = AnonymousUser()
        return get_response(request)
    query = urlencode({"next": request.get_full_path()})
    return redirect(f"{reverse('second_factor')}?{query}")
