"""Open sessions: begun at sign-in, ended on the server after a while or by hand."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime, timedelta
from importlib import import_module
from typing import Any

from django.conf import settings
from django.db import DatabaseError
from django.http import HttpRequest
from django.utils import timezone

from clinic.actions.audit import write_event
from clinic.models import OpenSession, Person

# access.csv, account.own_sessions and condition: step-up
IDLE = timedelta(minutes=30)
ABSOLUTE = timedelta(hours=12)
STEP_UP = timedelta(minutes=5)
_SEEN_EVERY = timedelta(minutes=1)  # a page more within the minute is not written down


def begin_session(sender: Any, request: HttpRequest, user: Person, **kwargs: Any) -> None:
    """Called by Django at every sign-in; the key is new, so one set before it opens nothing."""
    if not request.session.session_key:
        request.session.create()
    now = timezone.now()
    OpenSession.objects.filter(person=user, began_at__lt=now - ABSOLUTE).delete()
    OpenSession.objects.update_or_create(
        session_key=request.session.session_key,
        defaults={
            "person": user, "began_at": now, "seen_at": now, "second_factor_at": None,
            "asked_again_at": None, "source": request.META.get("REMOTE_ADDR", ""),
            "browser": request.META.get("HTTP_USER_AGENT", "")[:200],
        },
    )  # fmt: skip


def open_session(request: HttpRequest) -> OpenSession | None:
    """The session of this request, if it has not ended; being seen keeps it alive."""
    key, now = request.session.session_key, timezone.now()
    found = OpenSession.objects.filter(session_key=key, person=request.user).first()
    if found is None or is_over(found, now):
        return None
    if now - found.seen_at > _SEEN_EVERY:
        _seen(found, now)
    return found


def is_over(session: OpenSession, now: datetime) -> bool:
    return now - session.seen_at > IDLE or now - session.began_at > ABSOLUTE


def _seen(session: OpenSession, now: datetime) -> None:
    # A database that only reads: what needs no line in the log may still be read.
    with suppress(DatabaseError):
        OpenSession.objects.filter(pk=session.pk).update(seen_at=now)


def sessions_now(person: Person) -> list[OpenSession]:
    now = timezone.now()
    kept = person.open_sessions.order_by("-seen_at")
    return [session for session in kept if not is_over(session, now)]


def end_session(session: OpenSession, *, by: Person) -> None:
    """Its cookie opens nothing from now on."""
    engine = import_module(settings.SESSION_ENGINE)
    engine.SessionStore(session.session_key).delete()
    session.delete()
    write_event(
        clinic=None, by=by, verb="end", thing="session", thing_uid=session.uid,
        changes={"person": session.person.username},
    )  # fmt: skip


def end_sessions_of(person: Person, *, by: Person, but: OpenSession | None = None) -> None:
    for session in person.open_sessions.exclude(pk=but.pk if but else None):
        end_session(session, by=by)


def mark_second_factor(session: OpenSession) -> None:
    session.second_factor_at = timezone.now()
    session.save(update_fields=["second_factor_at"])


def mark_asked_again(session: OpenSession) -> None:
    session.asked_again_at = timezone.now()
    session.save(update_fields=["asked_again_at"])


def asked_lately(session: OpenSession | None) -> bool:
    """Password or code within the last five minutes, in this session and no other."""
    at = session.asked_again_at if session else None
    return at is not None and timezone.now() - at <= STEP_UP


def keep_session(session: OpenSession | None, session_key: str) -> None:
    """A changed password gives the same browser a new key."""
    if session is not None:
        OpenSession.objects.filter(pk=session.pk).update(session_key=session_key)
