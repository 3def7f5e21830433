"""What signing in needs: open sessions, the second factor, links that set a password once."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.db.models.functions import Now

_PERSON = settings.AUTH_USER_MODEL


class OpenSession(models.Model):
    """One browser in which a person is signed in; without this row its cookie opens nothing."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(_PERSON, models.PROTECT, related_name="open_sessions")
    session_key = models.CharField(max_length=40, unique=True)
    began_at = models.DateTimeField()
    seen_at = models.DateTimeField()
    source = models.CharField(max_length=45, blank=True, default="")  # the address it came from
    browser = models.CharField(max_length=200, blank=True, default="")
    second_factor_at = models.DateTimeField(null=True, blank=True)
    asked_again_at = models.DateTimeField(null=True, blank=True)  # password or code given again


class SecondFactor(models.Model):
    """The secret that a person's telephone shares with this service (RFC 6238)."""

    person = models.OneToOneField(_PERSON, models.PROTECT, related_name="second_factor")
    secret = models.CharField(max_length=64)  # base 32
    confirmed_at = models.DateTimeField(null=True, blank=True)
    last_step = models.BigIntegerField(default=0)  # a code is taken once
    wrong_tries = models.PositiveIntegerField(default=0)
    last_wrong_at = models.DateTimeField(null=True, blank=True)


class OneTimeLink(models.Model):
    """Lets a person choose a password, once; made by an administrator, kept as a digest."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(_PERSON, models.PROTECT, related_name="one_time_links")
    digest = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(_PERSON, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(db_default=Now(), editable=False)
    ends_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
