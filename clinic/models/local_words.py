"""A clinic's own words: what its laboratory calls an organism, what it tells a caller."""

from django.conf import settings
from django.db import models
from django.db.models.functions import Now

from clinic.models.clinics import Clinic


class LocalOrganismName(models.Model):
    """A laboratory's own name that stands for one entry of the catalogue, in this clinic only."""

    clinic = models.ForeignKey(Clinic, models.PROTECT, related_name="local_organism_names")
    key = models.CharField(max_length=200)  # the name as names are compared
    name = models.CharField(max_length=200)  # as the laboratory wrote it
    scientific_name = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        ordering = ("key",)
        constraints = [
            models.UniqueConstraint(fields=("clinic", "key"), name="local_organism_name_once")
        ]


class ClinicText(models.Model):
    """One wording of what the clinic tells a caller, and its due schedule; the latest holds."""

    clinic = models.ForeignKey(Clinic, models.PROTECT, related_name="texts")
    tell = models.TextField()  # one instruction a line
    send_at_once = models.TextField()  # where to, when a red flag is up
    reassessment_days = models.PositiveIntegerField()
    exit_site_check_days = models.PositiveIntegerField()
    retraining_days = models.PositiveIntegerField(default=14)  # as before the clinic chose
    long_stay_days = models.PositiveIntegerField(default=14)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        ordering = ("pk",)
