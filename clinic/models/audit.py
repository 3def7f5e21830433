"""The audit trail: one chain of events a clinic, each carrying the digest of the one before."""

import uuid

from django.conf import settings
from django.db import models


class AuditChain(models.Model):
    """Head of one chain; its number is the clinic's data version."""

    clinic = models.OneToOneField(
        "clinic.Clinic", models.PROTECT, null=True, blank=True, related_name="audit_chain"
    )  # empty: the house's own chain (accounts, grants, sign-ins)
    number = models.PositiveBigIntegerField(default=0)
    digest = models.CharField(max_length=64, blank=True, default="")


class AuditEvent(models.Model):
    """One thing that one actor did; written in the transaction of the change, never altered."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    chain = models.ForeignKey(AuditChain, models.PROTECT, related_name="events")
    number = models.PositiveBigIntegerField()
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    actor = models.CharField(max_length=200)  # the person's name, or host (USER), or schedule
    verb = models.CharField(max_length=60)
    thing = models.CharField(max_length=60, blank=True, default="")  # subject of the record
    thing_uid = models.UUIDField(null=True, blank=True)
    patient_uid = models.UUIDField(null=True, blank=True)
    changes = models.JSONField(default=dict, blank=True)  # column: [old, new]
    reason = models.CharField(max_length=400, blank=True, default="")
    digest = models.CharField(max_length=64)

    class Meta:
        ordering = ("chain", "number")
        constraints = [
            models.UniqueConstraint(fields=("chain", "number"), name="audit_number_once")
        ]
        indexes = [models.Index(fields=("thing_uid",)), models.Index(fields=("patient_uid",))]
