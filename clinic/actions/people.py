"""Accounts and grants: who may do what is given by name, with an event in the house's chain."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from clinic.actions.audit import Actor, actor_of, write_event
from clinic.models import Clinic, Grant, Person


def create_person(*, username: str, name: str, password: str | None, by: Actor | Person) -> Person:
    """A new account without any right; rights come from grants."""
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
    reason: str,
    by: Actor | Person,
) -> Grant:
    """Give a role for one clinic (or, as an administrator, for the house) from a day on."""
    with transaction.atomic():
        grant = Grant.objects.create(
            person=person, role=role, clinic=clinic, first_day=first_day, last_day=last_day,
            quarters=quarters or [], reason=reason, given_by=actor_of(by).person,
        )  # fmt: skip
        given = {
            "person": person.username,
            "role": role,
            "clinic": clinic and clinic.code,
            "first_day": first_day,
            "last_day": last_day,
            "quarters": quarters or [],
        }
        write_event(
            clinic=None, by=by, verb="give", thing="grant", thing_uid=grant.uid, reason=reason,
            changes={name: [None, value] for name, value in given.items()},
        )  # fmt: skip
    return grant
