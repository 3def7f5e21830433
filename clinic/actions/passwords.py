"""Passwords: chosen once through a link that an administrator makes, changed by the person."""

from __future__ import annotations

import secrets
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from clinic.actions.audit import write_event
from clinic.actions.people import create_person
from clinic.actions.rights import require_right
from clinic.actions.second_factor import forget_second_factor
from clinic.actions.sessions import end_sessions_of
from clinic.actions.tokens import digest_of, revoke_tokens_of
from clinic.models import OneTimeLink, OpenSession, Person

LINK_HOLDS = timedelta(hours=24)  # common practice, no source


def invite(*, username: str, name: str, by: Person) -> tuple[Person, str]:
    """A new account without a password, and the secret of the link that sets one."""
    require_right(by, "user.invite", None)
    with transaction.atomic():
        person = create_person(username=username, name=name, password=None, by=by)
        return person, make_link(person=person, by=by)


def make_link(*, person: Person, by: Person) -> str:
    """The secret, shown once; a link made before dies with it."""
    require_right(by, "user.invite", None)
    secret = secrets.token_urlsafe(32)
    with transaction.atomic():
        person.one_time_links.filter(used_at=None).delete()
        link = OneTimeLink.objects.create(
            person=person, made_by=by, digest=digest_of(secret),
            ends_at=timezone.now() + LINK_HOLDS,
        )  # fmt: skip
        write_event(
            clinic=None, by=by, verb="make", thing="link", thing_uid=link.uid,
            changes={"person": person.username},
        )  # fmt: skip
    return secret


def link_of_secret(secret: str) -> OneTimeLink | None:
    links = OneTimeLink.objects.select_related("person").filter(
        digest=digest_of(secret), used_at=None, ends_at__gt=timezone.now(), person__is_active=True
    )
    return links.first()


def use_link(*, secret: str, password: str) -> Person | None:
    """Set the password; sessions, tokens and the telephone of before are gone."""
    with transaction.atomic():
        link = link_of_secret(secret)
        if link is None or not OneTimeLink.objects.filter(pk=link.pk, used_at=None).update(
            used_at=timezone.now()
        ):
            return None
        _set(link.person, password)
        forget_second_factor(link.person)
        end_sessions_of(link.person, by=link.person)
        write_event(clinic=None, by=link.person, verb="use", thing="link", thing_uid=link.uid)
    return link.person


def change_password(*, person: Person, password: str, but: OpenSession | None) -> None:
    """Ends every other session and all tokens of the person."""
    with transaction.atomic():
        _set(person, password)
        end_sessions_of(person, by=person, but=but)
        write_event(clinic=None, by=person, verb="change", thing="password", thing_uid=person.uid)


def _set(person: Person, password: str) -> None:
    person.set_password(password)
    person.save(update_fields=["password"])
    person.one_time_links.filter(used_at=None).delete()
    revoke_tokens_of(person, by=person)
