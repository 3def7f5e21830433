"""Why a quarter cannot be prepared, returned or signed; each sentence is shown to a person."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied


class NotNow(Exception):
    """The moment is wrong (an answer 409): nothing was stored."""


class NotEnded(NotNow):
    """The period still runs in the clinic's zone."""


class AlreadyPrepared(NotNow):
    """Somebody froze these very figures before."""


class NewerFigures(NotNow):
    """The version that was read is not the newest any more."""


class NotPrepared(NotNow):
    """The version was already returned, signed or superseded."""


class SamePerson(PermissionDenied):
    """Who signs may not be who prepared (an answer 403)."""
