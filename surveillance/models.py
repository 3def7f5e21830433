"""The stored result: what is to be computed, and the frozen tables that came of it."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.db.models.functions import Now

Q = models.Q

COMPUTATION_STATES = ("waiting", "running", "done", "failed")
SNAPSHOT_STATES = ("draft", "prepared", "returned", "signed", "superseded")
# A computation is the same work only if all of these agree.
WORK_KEY = ("clinic", "through", "rule_set", "as_of", "data_version")


def _whole(*names: str) -> Q:
    """Either none of these fields is filled or all are (an empty reason is not filled)."""
    nulls = [name for name in names if not name.endswith("_reason")]
    texts = [name for name in names if name.endswith("_reason")]
    none = Q(**{f"{name}__isnull": True for name in nulls}, **dict.fromkeys(texts, ""))
    every = Q(**{f"{name}__isnull": False for name in nulls})
    for name in texts:
        every &= ~Q(**{name: ""})
    return none | every


class Work(models.Model):
    """Abstract base: the figures of one clinic, by one rule set, as known on one day."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    clinic = models.ForeignKey("clinic.Clinic", models.PROTECT, related_name="%(class)ss")
    through = models.CharField(max_length=10, blank=True, default="")  # '' = all ended periods
    rule_set = models.CharField(max_length=30)
    as_of = models.DateField()
    data_version = models.PositiveBigIntegerField()  # the clinic's last audit number

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"{self.clinic_id} {self.through or 'all'} {self.rule_set} as of {self.as_of}"


class Computation(Work):
    """One piece of work for a worker: this row is the truth, a message only points at it."""

    state = models.CharField(max_length=10, default="waiting")
    asked_at = models.DateTimeField(db_default=Now(), editable=False)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    actor = models.CharField(max_length=200)  # the person's name, host (USER), or schedule
    sent_at = models.DateTimeField(null=True, blank=True)
    # Whoever holds the lease may write; a worker that was killed lets it run out.
    lease = models.UUIDField(null=True, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    progress = models.CharField(max_length=80, blank=True, default="")
    progress_percent = models.PositiveSmallIntegerField(default=0)
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    sentence = models.CharField(max_length=400, blank=True, default="")  # why it failed

    class Meta:
        ordering = ("-id",)
        constraints = [
            models.UniqueConstraint(fields=WORK_KEY, name="computation_once"),
            models.CheckConstraint(
                condition=Q(state__in=COMPUTATION_STATES), name="computation_state_allowed"
            ),
            models.CheckConstraint(
                condition=Q(progress_percent__lte=100), name="computation_percent_allowed"
            ),
            models.CheckConstraint(
                condition=_whole("lease", "lease_until"), name="computation_lease_whole"
            ),
            models.CheckConstraint(
                condition=~Q(state="running") | Q(lease__isnull=False),
                name="computation_running_has_lease",
            ),
            models.CheckConstraint(
                condition=~Q(state="failed") | ~Q(sentence=""), name="computation_failure_in_words"
            ),
        ]
        indexes = [models.Index(fields=("state", "lease_until"))]


class Snapshot(Work):
    """The figures of one computation; frozen from the moment a person prepared it."""

    software_version = models.CharField(max_length=40)
    made_at = models.DateTimeField(db_default=Now(), editable=False)
    state = models.CharField(max_length=10, default="draft")
    digest = models.CharField(max_length=64)  # SHA-256 over the digests of its tables
    version = models.PositiveIntegerField(null=True, blank=True)  # numbered at signing
    prepared_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    prepared_at = models.DateTimeField(null=True, blank=True)
    prepared_reason = models.CharField(max_length=400, blank=True, default="")  # of a restatement
    returned_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    returned_at = models.DateTimeField(null=True, blank=True)
    returned_reason = models.CharField(max_length=400, blank=True, default="")
    signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    signed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("-id",)
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=SNAPSHOT_STATES), name="snapshot_state_allowed"
            ),
            models.UniqueConstraint(
                fields=WORK_KEY, condition=Q(state="draft"), name="snapshot_one_draft_a_work"
            ),
            # Preparing writes an audit event first, so that its own number names the work.
            models.UniqueConstraint(
                fields=WORK_KEY, condition=~Q(state="draft"), name="snapshot_one_frozen_a_work"
            ),
            models.UniqueConstraint(
                fields=("clinic", "through"),
                condition=Q(state="signed"),
                name="snapshot_one_signed_a_quarter",
            ),
            models.UniqueConstraint(
                fields=("clinic", "through", "version"), name="snapshot_version_once"
            ),
            models.CheckConstraint(
                condition=_whole("prepared_by", "prepared_at"), name="snapshot_prepared_whole"
            ),
            models.CheckConstraint(
                condition=_whole("returned_by", "returned_at", "returned_reason"),
                name="snapshot_returned_whole",
            ),
            models.CheckConstraint(
                condition=_whole("signed_by", "signed_at", "version"), name="snapshot_signed_whole"
            ),
            models.CheckConstraint(
                condition=~Q(signed_by=models.F("prepared_by")), name="snapshot_four_eyes"
            ),
            models.CheckConstraint(
                condition=Q(state="draft", prepared_at=None)
                | (~Q(state="draft") & Q(prepared_at__isnull=False) & ~Q(through="")),
                name="snapshot_state_says_prepared",
            ),
            models.CheckConstraint(
                condition=Q(state="returned", returned_at__isnull=False)
                | (~Q(state="returned") & Q(returned_at=None)),
                name="snapshot_state_says_returned",
            ),
            models.CheckConstraint(
                condition=Q(state__in=("signed", "superseded"), signed_at__isnull=False)
                | (~Q(state__in=("signed", "superseded")) & Q(signed_at=None)),
                name="snapshot_state_says_signed",
            ),
        ]


class SnapshotTable(models.Model):
    """One table of one period: its canonical CSV bytes and the digest that they must have."""

    snapshot = models.ForeignKey(Snapshot, models.CASCADE, related_name="tables")
    table = models.CharField(max_length=20)  # a name in STORED_TABLES
    period = models.CharField(max_length=10, blank=True, default="")  # '' = the whole range
    rows = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)
    content = models.BinaryField()  # zlib

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=("snapshot", "table", "period"), name="snapshot_table_once"
            )
        ]


class BaselinePhase(models.Model):
    """From a day on, what the clinic's signals expect, or only that they start anew; agreed by a
    director. Nothing is overwritten: a change withdraws the row and writes another."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    clinic = models.ForeignKey("clinic.Clinic", models.PROTECT, related_name="baseline_phases")
    first_day = models.DateField()
    # Peritonitis per patient-year; empty = the target of the rule set.
    baseline_rate = models.FloatField(null=True, blank=True)
    reason = models.CharField(max_length=400)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    withdrawn_reason = models.CharField(max_length=400, blank=True, default="")

    class Meta:
        ordering = ("first_day", "id")
        constraints = [
            models.UniqueConstraint(
                fields=("clinic", "first_day"),
                condition=Q(withdrawn_at=None),
                name="baseline_phase_one_a_day",
            ),
            models.CheckConstraint(
                condition=Q(baseline_rate=None) | Q(baseline_rate__gt=0, baseline_rate__lte=10),
                name="baseline_phase_rate_allowed",
            ),
            models.CheckConstraint(condition=~Q(reason=""), name="baseline_phase_has_reason"),
            models.CheckConstraint(
                condition=_whole("withdrawn_by", "withdrawn_at", "withdrawn_reason"),
                name="baseline_phase_withdrawn_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.clinic_id} from {self.first_day}"


class Finding(models.Model):
    """What one reader found in one chart of a drawn sample, beside what the report says of it."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    snapshot = models.ForeignKey(Snapshot, models.PROTECT, related_name="findings")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    period = models.CharField(max_length=10)
    patient = models.CharField(max_length=200)  # the record number; the reader sees a pseudonym
    field = models.CharField(max_length=40)
    reported = models.PositiveIntegerField()
    found = models.PositiveIntegerField()
    comment = models.CharField(max_length=400, blank=True, default="")

    class Meta:
        ordering = ("at", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=("snapshot", "by", "period", "patient", "field"), name="finding_once"
            )
        ]
