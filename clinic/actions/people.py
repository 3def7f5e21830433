"""Accounts and grants: who may do what is given by name, with an event in the house's chain."""

from __future__ import annotations

from datetime import date

from django.db import transaction
from django.utils import timezone

from clinic.actions.audit import Actor, actor_of, hold_house, write_event
from clinic.actions.grant_rules import (
    CAPABILITIES_TO_GIVE,
    require_administrator_left,
    require_apart,
    require_not_own,
    require_whole,
)
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_reason, require_right
from clinic.actions.sessions import end_sessions_of
from clinic.actions.tokens import revoke_tokens_of
from clinic.models import Clinic, Grant, Person


def create_person(*, username: str, name: str, password: str | None, by: Actor | Person) -> Person:
    """A new account without any right; rights come from grants."""
    if Person.objects.filter(username__iexact=username).exists():
        raise refuse("username", "There is an account of this name already.")
    with transaction.atomic():
        person = Person.objects.create_person(username=username, name=name, password=password)
        write_event(
            clinic=None, by=by, verb="create", thing="person", thing_uid=person.uid,
            changes={"username": [None, username], "name": [None, name]},
        )  # fmt: skip
    return person


def give_grant(
    *,
    person: Person,
    role: str,
    clinic: Clinic | None,
    first_day: date,
    last_day: date | None = None,
    quarters: list[str] | None = None,
    network: str = "",
    reason: str,
    by: Actor | Person,
) -> Grant:
    """Give a role for one clinic (or network, or the house) from a day on."""
    grant = Grant(
        person=person, role=role, clinic=clinic, network=network, first_day=first_day,
        last_day=last_day, quarters=quarters or [], reason=reason,
        given_by=actor_of(by).person,
    )  # fmt: skip
    with transaction.atomic():
        hold_house()
        if isinstance(by, Person):
            require_right(by, CAPABILITIES_TO_GIVE[role], clinic)
            require_not_own(by, person)
            require_whole(grant)
            require_reason(reason)
        require_apart(person, role, clinic, first_day, last_day)
        grant.save()
        write_event(
            clinic=None, by=by, verb="give", thing="grant", thing_uid=grant.uid, reason=reason,
            changes={name: [None, value] for name, value in told(grant).items()},
        )  # fmt: skip
    return grant


def told(grant: Grant) -> dict[str, object]:
    """The grant as its events say it."""
    return {
        "person": grant.person.username,
        "role": grant.role,
        "clinic": grant.clinic and grant.clinic.code,
        "network": grant.network,
        "first_day": grant.first_day,
        "last_day": grant.last_day,
        "quarters": grant.quarters,
    }


def end_grant(*, grant: Grant, by: Person, reason: str) -> None:
    """From the next request on; an old end is left as it was."""
    require_right(by, "grant.end", grant)
    require_reason(reason)
    with transaction.atomic():
        hold_house()
        ended = Grant.objects.filter(pk=grant.pk, ended_at=None)
        if not ended.update(ended_at=timezone.now(), ended_by=by):
            return
        if grant.role == "administrator":
            require_administrator_left()
        write_event(
            clinic=None, by=by, verb="end", thing="grant", thing_uid=grant.uid, reason=reason,
            changes={name: [value, None] for name, value in told(grant).items()},
        )  # fmt: skip


def deactivate(*, person: Person, by: Person, reason: str) -> None:
    """At once: sessions ended, tokens and links dead; the account stays, its trail points at it."""
    require_right(by, "user.deactivate", person)
    require_reason(reason)
    with transaction.atomic():
        hold_house()
        Person.objects.filter(pk=person.pk).update(is_active=False)
        require_administrator_left()
        person.one_time_links.filter(used_at=None).delete()
        revoke_tokens_of(person, by=by)
        write_event(
            clinic=None, by=by, verb="deactivate", thing="person", thing_uid=person.uid,
            reason=reason,
        )  # fmt: skip
        end_sessions_of(person, by=by)
