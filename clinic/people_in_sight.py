"""Whose accounts and grants a person may see: an administrator all, a director the clinic's."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Max, QuerySet

from clinic.models import Grant, Person, Token
from clinic.roles import can, clinics_where


def runs_accounts(person: Person) -> bool:
    return can(person, "user.invite")


def people_of(reader: Person) -> QuerySet[Person]:
    """With the last sign-in: `seen_at` of the latest session, `last_login` else."""
    everybody = Person.objects.order_by("name", "pk")
    if not runs_accounts(reader):
        clinics = clinics_where(reader, "user.list")
        everybody = everybody.filter(grants__clinic__in=clinics).distinct()
    return everybody.annotate(latest=Max("open_sessions__seen_at"))


def grants_of(reader: Person, person: Person) -> QuerySet[Grant]:
    """Who held what from when to when, who gave and who ended it; the latest first."""
    grants = person.grants.select_related("clinic", "given_by", "ended_by").order_by(
        "-first_day", "-pk"
    )
    if runs_accounts(reader):
        return grants
    return grants.filter(clinic__in=clinics_where(reader, "grant.read_history"))


def tokens_of(reader: Person, person: Person) -> QuerySet[Token]:
    """A director sees the tokens that reach the own clinic."""
    tokens = person.tokens.filter(revoked_at=None).order_by("-made_at")
    if runs_accounts(reader):
        return tokens
    clinics = clinics_where(reader, "token.list_and_revoke_any")
    return tokens.filter(clinics__in=clinics).distinct()


def last_sign_in(person: Person) -> datetime | None:
    moments = [moment for moment in (person.last_login, person.latest) if moment]
    return max(moments, default=None)
