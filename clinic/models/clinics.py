"""Clinics: each is a shard of its own; days, clocks and sequences never cross clinics."""

from zoneinfo import ZoneInfo

from django.db import models

from clinic import columns
from clinic.models.record import RecordRow


class Clinic(RecordRow):
    subject = columns.CLINICS
    parent_field = ""

    code = models.CharField("Clinic", max_length=200, unique=True)

    class Meta:
        ordering = ("code",)

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)
