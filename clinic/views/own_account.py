"""The person's own account: rights, sessions, tokens, password, what was read and written."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clinic.actions.passwords import change_password
from clinic.actions.refusals import Refused
from clinic.actions.sessions import end_session, keep_session, sessions_now
from clinic.actions.tokens import create_token, revoke_token, tokens_now
from clinic.activity import activity_of
from clinic.forms.account_forms import ChangePassword, NewToken, add_refusal
from clinic.models import OpenSession, Token
from clinic.roles import can, grants_now
from clinic.views.access import get_in_sight, require
from clinic.views.plain_form import plain_form

_PAGE = {"page_name": "Account"}


@require_safe
def account(request: HttpRequest) -> HttpResponse:
    person = request.user
    context = _PAGE | {
        "grants": grants_now(person),
        "sessions": sessions_now(person),
        "here": request.open_session,
        "tokens": tokens_now(person),
        "may_create_token": can(person, "token.create_own"),
    }
    return render(request, "clinic/pages/account.html", context)


@require_safe
def activity(request: HttpRequest) -> HttpResponse:
    context = _PAGE | {"lines": activity_of(request.user), "grants": request.user.grants.all()}
    return render(request, "clinic/pages/activity.html", context)


@require_POST
def end_own_session(request: HttpRequest, uid: UUID) -> HttpResponse:
    own = OpenSession.objects.filter(person=request.user)
    end_session(get_in_sight(request, own, uid), by=request.user)
    messages.success(request, "That session is ended.")
    return redirect("account")


@require_http_methods(["GET", "HEAD", "POST"])
def new_password(request: HttpRequest) -> HttpResponse:
    form = ChangePassword(request, data=request.POST or None)
    if form.is_valid():
        here = request.open_session
        change_password(person=request.user, password=form.cleaned_data["new_password"], but=here)
        update_session_auth_hash(request, request.user)
        keep_session(here, request.session.session_key)
        messages.success(request, "Changed. Your other sessions and all your tokens are ended.")
        return redirect("account")
    return plain_form(
        request, form, heading="Change your password.", button="Change it", back="account",
        lead="Every other session and all your tokens end with it.", **_PAGE,
    )  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
def new_token(request: HttpRequest) -> HttpResponse:
    require(request, "token.create_own", request.user)
    form = NewToken(request, data=request.POST or None)
    if form.is_valid():
        try:
            token, secret = create_token(by=request.user, **form.values)
            return _shown_once(request, token, secret)
        except Refused as refused:
            add_refusal(form, refused)
    return plain_form(
        request, form, heading="A token for a program.", button="Make it", back="account",
        lead="It may what you may in this role and these clinics, and never signs or grants.",
        **_PAGE,
    )  # fmt: skip


def _shown_once(request: HttpRequest, token: Token, secret: str) -> HttpResponse:
    context = _PAGE | {
        "heading": f"Token made: {token.name}.",
        "told": "Send it as “Authorization: Bearer …” with each call of the API.",
        "secret": secret,
        "back": reverse("account"),
    }
    return render(request, "clinic/pages/shown_once.html", context)


@require_POST
def revoke_own_token(request: HttpRequest, uid: UUID) -> HttpResponse:
    own = Token.objects.filter(person=request.user)
    revoke_token(token=get_in_sight(request, own, uid), by=request.user)
    messages.success(request, "Revoked: its next call is refused.")
    return redirect("account")
