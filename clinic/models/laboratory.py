"""Effluent samples, what grew in them, and what it is susceptible to."""

from django.db import models

from clinic import columns
from clinic.models.infections import Peritonitis
from clinic.models.record import RecordRow


class EffluentSample(RecordRow):
    subject = columns.EFFLUENT_SAMPLES
    parent_field = "peritonitis"

    peritonitis = models.ForeignKey(Peritonitis, models.PROTECT, related_name="samples")


class Isolate(RecordRow):
    subject = columns.ISOLATES
    parent_field = "effluent_sample"

    effluent_sample = models.ForeignKey(EffluentSample, models.PROTECT, related_name="isolates")


class Susceptibility(RecordRow):
    subject = columns.SUSCEPTIBILITIES
    parent_field = "isolate"

    isolate = models.ForeignKey(Isolate, models.PROTECT, related_name="susceptibilities")
