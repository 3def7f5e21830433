"""A second, blinded judgement of where an episode came from: asked of one person, then given."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models

from clinic.columns import SUBJECTS
from clinic.models.infections import Peritonitis

ROUTES = SUBJECTS["root_cause_reviews"].column("route").choices
CERTAINTIES = SUBJECTS["root_cause_reviews"].column("certainty").choices
PREVENTABLE = SUBJECTS["root_cause_reviews"].column("preventable").choices


class SecondJudgement(models.Model):
    """While it is open the first judgement is hidden from the person who is asked."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    episode = models.OneToOneField(
        Peritonitis, models.PROTECT, related_name="second_judgement"
    )  # asked of another person later on, the row stays and its judge changes
    judge = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    asked_at = models.DateTimeField()
    route = models.CharField(max_length=32, blank=True, default="")
    certainty = models.CharField(max_length=32, blank=True, default="")
    preventable = models.CharField(max_length=32, blank=True, default="")
    judged_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("asked_at", "pk")
        constraints = [
            models.CheckConstraint(
                condition=models.Q(judged_at=None, route="", certainty="", preventable="")
                | models.Q(judged_at__isnull=False, route__in=ROUTES),
                name="second_judgement_whole",
            ),
            models.CheckConstraint(
                condition=models.Q(certainty__in=("", *CERTAINTIES))
                & models.Q(preventable__in=("", *PREVENTABLE)),
                name="second_judgement_words",
            ),
            models.CheckConstraint(
                condition=~models.Q(judge=models.F("asked_by")), name="second_judgement_by_another"
            ),
        ]
