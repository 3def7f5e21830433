"""Peritonitis episodes, exit-site and tunnel infections, and the admissions they lead to."""

from django.db import models

from clinic import columns
from clinic.models.care import PatientRow
from clinic.models.record import RecordRow


class Peritonitis(PatientRow):
    subject = columns.PERITONITIS
    parent_field = "patient"

    def __str__(self) -> str:
        return self.episode


class EpisodeRow(RecordRow):
    """Abstract base of the subjects that belong to a peritonitis episode."""

    parent_field = "peritonitis"

    peritonitis = models.ForeignKey(Peritonitis, models.PROTECT, related_name="%(class)s_rows")

    class Meta:
        abstract = True


class Call(EpisodeRow):
    """The cloudy-bag call; every call opens a suspected episode, also if it is ruled out later."""

    subject = columns.CALLS
    parent_field = "peritonitis"


class Therapy(EpisodeRow):
    subject = columns.THERAPIES
    parent_field = "peritonitis"


class RootCauseReview(EpisodeRow):
    subject = columns.ROOT_CAUSE_REVIEWS
    parent_field = "peritonitis"


class CatheterInfection(PatientRow):
    subject = columns.CATHETER_INFECTIONS
    parent_field = "patient"

    def __str__(self) -> str:
        return self.infection


class Admission(PatientRow):
    subject = columns.ADMISSIONS
    parent_field = "patient"

    # The file's `episode` cell, resolved: the peritonitis that led to the admission.
    peritonitis = models.ForeignKey(
        Peritonitis, models.PROTECT, null=True, blank=True, related_name="admissions"
    )
