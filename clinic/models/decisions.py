"""What a clinic decided, and what came of it: rows are added, none is changed."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.db.models.functions import Now

from clinic.models.clinics import Clinic

# The figures that a decision may be meant to move, as the method names them.
MOVABLE = {
    "peritonitis_rate": "Peritonitis rate",
    "exit_site_infection_rate": "Exit-site infection rate",
    "tunnel_infection_rate": "Tunnel infection rate",
    "catheter_infection_rate": "Catheter infection rate",
    "culture_negative_share": "Culture-negative share",
    "not_cultured_share": "Share not cultured",
}
VERDICTS = {
    "kept": "It is kept",
    "changed": "Something else is tried",
    "ended": "It is ended",
    "undecided": "Too early to say: look again later",
    "mistaken": "It was entered in error",
}
LOOK_AGAIN = "undecided"


class Decision(models.Model):
    """One decision of a meeting; its marker stands on the charts of the figure it should move."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    clinic = models.ForeignKey(Clinic, models.PROTECT, related_name="decisions")
    decided_on = models.DateField()
    decision = models.CharField(max_length=600)
    owner = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    owner_role = models.CharField(max_length=40)  # for readers who get no names
    measure = models.CharField(max_length=40)
    marker = models.CharField(max_length=40)
    review_on = models.DateField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        ordering = ("-decided_on", "-pk")
        constraints = [
            models.CheckConstraint(
                condition=models.Q(measure__in=list(MOVABLE)), name="decision_measure_allowed"
            ),
            models.CheckConstraint(
                condition=models.Q(review_on__gt=models.F("decided_on")),
                name="decision_review_after",
            ),
        ]

    @property
    def measure_text(self) -> str:
        return MOVABLE[self.measure]


class DecisionReview(models.Model):
    """What was found at a review; the latest one says whether another follows."""

    decision = models.ForeignKey(Decision, models.PROTECT, related_name="reviews")
    verdict = models.CharField(max_length=20)
    outcome = models.CharField(max_length=600)
    # What the page showed of before and after when this was written.
    shown = models.TextField(blank=True, default="")
    next_review_on = models.DateField(null=True, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        ordering = ("pk",)
        constraints = [
            models.CheckConstraint(
                condition=models.Q(verdict__in=list(VERDICTS)), name="review_verdict_allowed"
            ),
            models.CheckConstraint(
                condition=models.Q(verdict=LOOK_AGAIN, next_review_on__isnull=False)
                | (~models.Q(verdict=LOOK_AGAIN) & models.Q(next_review_on=None)),
                name="review_again_has_day",
            ),
        ]

    @property
    def verdict_text(self) -> str:
        return VERDICTS[self.verdict]
