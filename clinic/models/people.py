"""People and their grants: who may do what, where, from when until when."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Now

if TYPE_CHECKING:
    from clinic.models.tokens import Token

ROLES = (
    "nurse",
    "director",
    "auditor",
    "data_manager",
    "network_officer",
    "researcher",
    "administrator",
)


class PersonManager(BaseUserManager["Person"]):
    def create_person(self, *, username: str, name: str, password: str | None = None) -> Person:
        person = self.model(username=username, name=name)
        person.set_password(password)
        person.save(using=self._db)
        return person


class Person(AbstractBaseUser):
    """One account a person; rights come from grants alone, there is no superuser."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    username = models.CharField("Sign-in name", max_length=150, unique=True)
    name = models.CharField("Name", max_length=150)
    is_active = models.BooleanField(default=True)

    # Set for a request that came with a token: the person's rights then end where it ends.
    token: Token | None = None

    objects = PersonManager()

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS = ["name"]

    def __str__(self) -> str:
        return self.name


class Grant(models.Model):
    """A role given to a person for one clinic (or network, or the whole house)."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="grants")
    role = models.CharField(max_length=20)
    clinic = models.ForeignKey("clinic.Clinic", models.PROTECT, null=True, blank=True)
    network = models.CharField(max_length=200, blank=True, default="")
    quarters = models.JSONField(default=list, blank=True)  # an auditor's quarters, as 2025-Q1
    first_day = models.DateField()
    last_day = models.DateField(null=True, blank=True)
    given_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+"
    )
    given_at = models.DateTimeField(db_default=Now(), editable=False)
    reason = models.CharField(max_length=400, blank=True, default="")
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )

    @property
    def role_text(self) -> str:
        return self.role.replace("_", " ")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(role__in=ROLES), name="grant_role_allowed"),
            models.CheckConstraint(
                condition=models.Q(last_day__gte=models.F("first_day")), name="grant_day_order"
            ),
            models.CheckConstraint(
                condition=models.Q(role__in=("network_officer", "researcher", "administrator"))
                | models.Q(clinic__isnull=False),
                name="grant_names_its_clinic",
            ),
            models.CheckConstraint(
                condition=~models.Q(role="auditor") | models.Q(last_day__isnull=False),
                name="grant_of_auditor_ends",
            ),
        ]
