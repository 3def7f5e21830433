"""Submission keys: a form sent twice is one record (a double press, a repeat after a time-out)."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models.functions import Now


class Submission(models.Model):
    """One form that one person sent: its key, what it held, and the row that came of it."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    key = models.UUIDField(default=uuid.uuid4)
    digest = models.CharField(max_length=64)  # SHA-256 of what was sent
    subject = models.CharField(max_length=60)
    thing_uid = models.UUIDField()
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=("person", "key"), name="submission_once")]
