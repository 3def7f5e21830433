"""Tokens: a program's key to the API, for one role and some clinics of its owner, for a while."""

from __future__ import annotations

import uuid
from functools import cached_property

from django.conf import settings
from django.db import models
from django.db.models.functions import Now

from clinic.models.clinics import Clinic

_PERSON = settings.AUTH_USER_MODEL


class Token(models.Model):
    """Only the SHA-256 is kept: nobody can read the token again, nor use what is stored."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(_PERSON, models.PROTECT, related_name="tokens")
    name = models.CharField("What it is for", max_length=100)
    role = models.CharField(max_length=20)
    clinics = models.ManyToManyField(Clinic, related_name="+")
    digest = models.CharField(max_length=64, unique=True)
    first_characters = models.CharField(max_length=6)
    made_at = models.DateTimeField(db_default=Now(), editable=False)
    last_day = models.DateField()
    last_used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.ForeignKey(_PERSON, models.PROTECT, null=True, blank=True, related_name="+")

    @cached_property
    def clinic_keys(self) -> frozenset[int]:
        return frozenset(self.clinics.values_list("pk", flat=True))

    @property
    def role_text(self) -> str:
        return self.role.replace("_", " ")
