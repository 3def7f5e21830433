"""Tokens: made once and shown once, never wider or longer than the grants they stand on."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Collection
from datetime import date, timedelta

from django.db import transaction
from django.utils import timezone

from clinic.actions.audit import write_event
from clinic.actions.refusals import refuse
from clinic.actions.rights import require_right
from clinic.clock import now
from clinic.models import Clinic, Grant, Person, Token
from clinic.roles import clinics_where, grants_now

LONGEST_DAYS = 90  # access.csv, token.create_own
READ_ONLY_ROLES = frozenset({"auditor", "network_officer", "researcher"})
NO_TOKEN_ROLES = frozenset({"administrator", "researcher"})  # a researcher has no project yet


def create_token(
    *, by: Person, name: str, role: str, clinics: Collection[Clinic], last_day: date
) -> tuple[Token, str]:
    """The stored token and its secret, which nobody sees again."""
    require_right(by, "token.create_own", by)
    _require_own(by, role, clinics)
    _require_day(by, role, clinics, last_day)
    secret = secrets.token_urlsafe(32)
    with transaction.atomic():
        token = Token.objects.create(
            person=by, name=name, role=role, digest=digest_of(secret),
            first_characters=secret[:6], last_day=last_day,
        )  # fmt: skip
        token.clinics.set(clinics)
        codes = sorted(clinic.code for clinic in clinics)
        write_event(
            clinic=None, by=by, verb="create", thing="token", thing_uid=token.uid,
            changes={
                "name": [None, name], "role": [None, role], "clinics": [None, codes],
                "last_day": [None, last_day],
            },
        )  # fmt: skip
    return token, secret


def revoke_token(*, token: Token, by: Person) -> None:
    """Its very next request is refused; an old end is left as it was."""
    with transaction.atomic():
        changed = Token.objects.filter(pk=token.pk, revoked_at=None).update(
            revoked_at=timezone.now(), revoked_by=by
        )
        if changed:
            write_event(clinic=None, by=by, verb="revoke", thing="token", thing_uid=token.uid)


def revoke_tokens_of(person: Person, *, by: Person) -> None:
    for token in person.tokens.filter(revoked_at=None):
        revoke_token(token=token, by=by)


def tokens_now(person: Person) -> list[Token]:
    """The person's tokens that still open something."""
    return [token for token in person.tokens.filter(revoked_at=None) if _holds(token)]


def token_of_secret(secret: str) -> Token | None:
    """The token that the secret is of, with its owner's rights cut down to it; none if it ended."""
    found = Token.objects.select_related("person").filter(digest=digest_of(secret), revoked_at=None)
    token = found.first()
    if token is None or not _holds(token):
        return None
    token.person.token = token
    return token if grants_now(token.person) else None


def used(token: Token) -> None:
    Token.objects.filter(pk=token.pk).update(last_used_at=timezone.now())


def digest_of(secret: str) -> str:
    """A secret of 256 random bits needs no slow hash: nobody can guess it from this."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def clinics_for(person: Person, role: str) -> list[Clinic]:
    """The clinics that a token of this role may name."""
    grants = [grant for grant in grants_now(person) if grant.role == role]
    keys = {grant.clinic_id for grant in grants if grant.clinic_id}
    networks = {grant.network for grant in grants if grant.network}
    readable = clinics_where(person, "clinic.read")
    return [each for each in readable if each.pk in keys or each.network in networks]


def _holds(token: Token) -> bool:
    return now().date() <= token.last_day and token.person.is_active


def _require_own(by: Person, role: str, clinics: Collection[Clinic]) -> None:
    if role in NO_TOKEN_ROLES:
        raise refuse("role", "There are no tokens for this role.")
    allowed = clinics_for(by, role)
    if not allowed:
        raise refuse("role", "This is no role of yours.")
    if not clinics or not set(clinics) <= set(allowed):
        raise refuse("clinics", "Choose one or more clinics in which you hold this role.")


def _require_day(by: Person, role: str, clinics: Collection[Clinic], last_day: date) -> None:
    latest = latest_day(by, role, clinics)
    if not now().date() <= last_day <= latest:
        raise refuse("last_day", f"From today to {latest.isoformat()} at the latest.")


def latest_day(by: Person, role: str, clinics: Collection[Clinic]) -> date:
    """At most 90 days ahead and never beyond the first grant that runs out."""
    ends = [grant.last_day for grant in grants_now(by) if _serves(grant, role, clinics)]
    longest = now().date() + timedelta(days=LONGEST_DAYS)
    return min([longest, *(end for end in ends if end is not None)])


def _serves(grant: Grant, role: str, clinics: Collection[Clinic]) -> bool:
    return grant.role == role and (grant.clinic is None or grant.clinic in clinics)
