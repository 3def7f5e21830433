"""What people do about a signal: seen, looked into step by step, closed; rows are only added."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.db.models.functions import Now

from clinic.models.clinics import Clinic

# The steps of an investigation, in the order of workflows.md 1b.
STEPS = {
    "confirm": "Confirm that the cases are what they seem",
    "define_case": "Say who counts as a case",
    "line_list": "Complete the line list",
    "look_back": "Look back twelve months",
    "sample_environment": "Sample the surroundings",
    "stop_exposure": "Stop the exposure",
    "tell_authority": "Tell the authority, if local rules ask for it",
}
CONCLUSIONS = {
    "common_cause": "A common cause was found",
    "no_common_cause": "Looked into, and no common cause was found",
    "chance": "Held for chance",
    "record_at_fault": "The record was at fault",
}
VERBS = ("seen", "investigate", "step", "note", "close")


class SignalWork(models.Model):
    """One signal that somebody took up: which line, over which days, as it read then."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    clinic = models.ForeignKey(Clinic, models.PROTECT, related_name="signal_works")
    rule = models.CharField(max_length=40)
    measure = models.CharField(max_length=40)
    split = models.CharField(max_length=40, blank=True, default="")
    band = models.CharField(max_length=60, blank=True, default="")
    raised_on = models.DateField()  # the day on which the line first stood out
    window_start = models.DateField()
    window_end = models.DateField()
    sentence = models.TextField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        ordering = ("pk",)
        constraints = [
            models.UniqueConstraint(
                fields=("clinic", "rule", "split", "band", "raised_on"), name="signal_work_once"
            ),
            models.CheckConstraint(
                condition=models.Q(window_end__gte=models.F("window_start")),
                name="signal_work_day_order",
            ),
        ]


class SignalEntry(models.Model):
    """One thing that was done or agreed about a signal; the latest of a step holds."""

    work = models.ForeignKey(SignalWork, models.PROTECT, related_name="entries")
    verb = models.CharField(max_length=20)
    step = models.CharField(max_length=20, blank=True, default="")
    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    due_on = models.DateField(null=True, blank=True)
    done_on = models.DateField(null=True, blank=True)
    conclusion = models.CharField(max_length=20, blank=True, default="")
    says = models.CharField(max_length=600, blank=True, default="")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        ordering = ("pk",)
        constraints = [
            models.CheckConstraint(
                condition=models.Q(verb__in=VERBS), name="signal_entry_verb_allowed"
            ),
            models.CheckConstraint(
                condition=models.Q(verb="step", step__in=list(STEPS))
                | (~models.Q(verb="step") & models.Q(step="")),
                name="signal_entry_step_allowed",
            ),
            models.CheckConstraint(
                condition=models.Q(verb="close", conclusion__in=list(CONCLUSIONS))
                | (~models.Q(verb="close") & models.Q(conclusion="")),
                name="signal_entry_conclusion_allowed",
            ),
        ]

    @property
    def words(self) -> str:
        """What was done, as a person says it."""
        if self.verb == "step":
            return f"{STEPS[self.step]}: {'done' if self.done_on else 'agreed'}"
        if self.verb == "close":
            return f"Closed: {CONCLUSIONS[self.conclusion].lower()}"
        return {"seen": "Seen", "investigate": "Began to look into it", "note": "Note"}[self.verb]
