"""What named persons said beside the record: a dissent from a category, a warning settled."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models.functions import Now

from clinic.models.clinics import Clinic
from clinic.models.infections import Peritonitis

CATEGORIES = ("new", "relapsing", "recurrent", "repeat", "same_episode", "undetermined")


class Dissent(models.Model):
    """A named person's other view of an episode's category; printed beside it, changes nothing."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    episode = models.ForeignKey(Peritonitis, models.PROTECT, related_name="dissents")
    category = models.CharField(max_length=32)
    reason = models.CharField(max_length=400)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        ordering = ("pk",)
        constraints = [
            models.CheckConstraint(
                condition=models.Q(category__in=CATEGORIES), name="dissent_category_allowed"
            ),
            models.CheckConstraint(condition=~models.Q(reason=""), name="dissent_has_reason"),
        ]


class SettledGap(models.Model):
    """A warning that somebody looked at; a change of what it says makes it a new one."""

    clinic = models.ForeignKey(Clinic, models.PROTECT, related_name="settled_gaps")
    key = models.CharField(max_length=64)  # SHA-256 of the rows, the fields and the sentence
    sentence = models.TextField()
    reason = models.CharField(max_length=400)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=("clinic", "key"), name="gap_settled_once"),
            models.CheckConstraint(condition=~models.Q(reason=""), name="gap_settled_has_reason"),
        ]
