"""People: who may do what until when; accounts are invited and closed here."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clinic.actions.grant_rules import LastAdministrator, is_last_director
from clinic.actions.passwords import LINK_HOLDS, invite, make_link
from clinic.actions.people import deactivate, end_grant
from clinic.actions.refusals import Refused
from clinic.actions.tokens import revoke_token
from clinic.forms.account_forms import add_refusal
from clinic.forms.people_forms import InviteForm, LinkForm, ReasonForm
from clinic.models import Grant, Person
from clinic.people_in_sight import (
    grants_of,
    last_sign_in,
    people_of,
    runs_accounts,
    tokens_of,
)
from clinic.roles import can, grants_now
from clinic.views.access import get_in_sight, require
from clinic.views.plain_form import plain_form

_PAGE = {"page_name": "People"}
_FORM = ["GET", "HEAD", "POST"]
CONFLICT = 409


@require_safe
def people(request: HttpRequest) -> HttpResponse:
    require(request, "user.list")
    rows = []
    for person in people_of(request.user):
        held = {grant.pk for grant in grants_now(person)}
        seen = [grant for grant in grants_of(request.user, person) if grant.pk in held]
        rows.append({"person": person, "grants": seen, "signed_in_at": last_sign_in(person)})
    context = _PAGE | {
        "rows": rows,
        "may_invite": runs_accounts(request.user),
        "may_give_audit": can(request.user, "grant.give_auditor"),
    }
    return render(request, "clinic/pages/people.html", context)


def person_in_sight(request: HttpRequest, uid: UUID) -> Person:
    require(request, "user.list")
    return get_in_sight(request, people_of(request.user), uid)


@require_safe
def person(request: HttpRequest, uid: UUID) -> HttpResponse:
    found = person_in_sight(request, uid)
    held = {grant.pk for grant in grants_now(found)}
    grants = list(grants_of(request.user, found))
    context = _PAGE | {
        "person": found,
        "title_detail": found.name,
        "standing": [grant for grant in grants if grant.pk in held],
        "past": [grant for grant in grants if grant.pk not in held],
        "tokens": tokens_of(request.user, found),
        "signed_in_at": last_sign_in(found),
        "runs_accounts": runs_accounts(request.user),
        "is_self": found == request.user,
    }
    return render(request, "clinic/pages/person.html", context)


@require_http_methods(_FORM)
def invite_person(request: HttpRequest) -> HttpResponse:
    require(request, "user.invite")
    form = InviteForm(request, data=request.POST or None)
    if form.is_valid():
        try:
            named = {name: form.cleaned_data[name] for name in ("username", "name")}
            invited, secret = invite(by=request.user, **named)
            return _link_once(request, invited, secret)
        except Refused as refused:
            add_refusal(form, refused)
    return plain_form(
        request, form, heading="Invite a person.", button="Invite", back="people",
        lead="The account opens nothing until it has a right. You get a link, once, to hand over.",
        **_PAGE,
    )  # fmt: skip


@require_http_methods(_FORM)
def new_link(request: HttpRequest, uid: UUID) -> HttpResponse:
    found = person_in_sight(request, uid)
    require(request, "user.invite")
    form = LinkForm(request, data=request.POST if request.method == "POST" else None)
    if form.is_valid():
        return _link_once(request, found, make_link(person=found, by=request.user))
    return plain_form(
        request, form, heading=f"A new link for {found.name}.", button="Make the link",
        back=reverse("person", args=[uid]),
        lead="For a forgotten password or a lost telephone. Once it is used, both are set anew.",
        **_PAGE,
    )  # fmt: skip


def _link_once(request: HttpRequest, invited: Person, secret: str) -> HttpResponse:
    hours = round(LINK_HOLDS.total_seconds() / 3600)
    context = _PAGE | {
        "heading": f"A link for {invited.name}.",
        "told": f"It works once, within {hours} hours. Hand it over yourself.",
        "secret": request.build_absolute_uri(reverse("choose_password", args=[secret])),
        "back": reverse("person", args=[invited.uid]),
    }
    return render(request, "clinic/pages/shown_once.html", context)


@require_http_methods(_FORM)
def end(request: HttpRequest, uid: UUID) -> HttpResponse:
    """End one grant: a director's on the own clinic, an administrator's anywhere."""
    require(request, "grant.end")
    grant = get_in_sight(request, _grants_in_sight(request.user), uid)
    require(request, "grant.end", grant)
    where = grant.clinic or grant.network or "this service"
    lead = "It ends with the next page that is asked for; what was recorded stays."
    if is_last_director(grant):
        lead = f"{where} has no other director: nobody could sign there. {lead}"
    return _ended(
        request, lambda reason: end_grant(grant=grant, by=request.user, reason=reason),
        heading=f"End {grant.person.name} as {grant.role_text} of {where}.",
        button="End it", back=reverse("person", args=[grant.person.uid]), lead=lead,
    )  # fmt: skip


def _grants_in_sight(reader: Person) -> Any:
    standing = Grant.objects.filter(ended_at=None).select_related("clinic", "person")
    return standing.filter(pk__in=[
        grant.pk for each in people_of(reader) for grant in grants_of(reader, each)
    ])  # fmt: skip


@require_http_methods(_FORM)
def close(request: HttpRequest, uid: UUID) -> HttpResponse:
    found = person_in_sight(request, uid)
    require(request, "user.deactivate", found)
    return _ended(
        request, lambda reason: deactivate(person=found, by=request.user, reason=reason),
        heading=f"Close the account of {found.name}.", button="Close it",
        back=reverse("person", args=[uid]),
        lead="At once: sessions, tokens and links end. The account stays, its trail points at it.",
    )  # fmt: skip


def _ended(
    request: HttpRequest, end: Callable[[str], None], *, back: str, **page: Any
) -> HttpResponse:
    form, status = ReasonForm(request, data=request.POST or None), 0
    if form.is_valid():
        try:
            end(form.cleaned_data["reason"])
            messages.success(request, "Done. It holds from now on.")
            return redirect(back)
        except Refused as refused:
            add_refusal(form, refused)
        except LastAdministrator as last:
            form.add_error(None, str(last))
            status = CONFLICT
    return plain_form(request, form, back=back, status=status, **page, **_PAGE)


@require_POST
def revoke(request: HttpRequest, uid: UUID, token_uid: UUID) -> HttpResponse:
    found = person_in_sight(request, uid)
    require(request, "token.list_and_revoke_any")
    token = get_in_sight(request, tokens_of(request.user, found), token_uid)
    revoke_token(token=token, by=request.user)
    messages.success(request, "Revoked: its next call is refused.")
    return redirect("person", uid)
