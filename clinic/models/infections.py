"""Peritonitis episodes, exit-site and tunnel infections, and the admissions they lead to."""

from django.db import models

from clinic import columns
from clinic.models.care import PatientRow


class Peritonitis(PatientRow):
    subject = columns.PERITONITIS
    parent_field = "patient"

    def __str__(self) -> str:
        return self.episode


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
