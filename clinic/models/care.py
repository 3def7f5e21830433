"""PD spells, pauses, catheters, trainings, admissions and contaminations of a patient."""

from django.db import models

from clinic import columns
from clinic.models.patients import Patient
from clinic.models.record import RecordRow


class PatientRow(RecordRow):
    """Abstract base of the subjects that belong straight to a patient."""

    parent_field = "patient"

    patient = models.ForeignKey(Patient, models.PROTECT, related_name="%(class)s_rows")

    class Meta:
        abstract = True


class PdSpell(PatientRow):
    subject = columns.PD_SPELLS
    parent_field = "patient"


class PdPause(PatientRow):
    subject = columns.PD_PAUSES
    parent_field = "patient"


class Catheter(PatientRow):
    subject = columns.CATHETERS
    parent_field = "patient"


class Training(PatientRow):
    subject = columns.TRAININGS
    parent_field = "patient"


class Contamination(PatientRow):
    subject = columns.CONTAMINATIONS
    parent_field = "patient"


class ExitSiteCheck(PatientRow):
    subject = columns.EXIT_SITE_CHECKS
    parent_field = "patient"


class TechniqueObservation(PatientRow):
    subject = columns.TECHNIQUE_OBSERVATIONS
    parent_field = "patient"
