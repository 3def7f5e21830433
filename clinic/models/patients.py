"""Patients: the clinic's own record number, and no name or address at all."""

from django.db import models

from clinic import columns
from clinic.models.clinics import Clinic
from clinic.models.record import RecordRow


class Patient(RecordRow):
    subject = columns.PATIENTS
    parent_field = "clinic"

    clinic = models.ForeignKey(Clinic, models.PROTECT, related_name="patients")
    number = models.CharField("Record number", max_length=200)

    class Meta:
        ordering = ("clinic", "number")
        constraints = [
            models.UniqueConstraint(fields=("clinic", "number"), name="patient_number_once"),
            models.CheckConstraint(condition=~models.Q(number=""), name="patient_number_filled"),
        ]

    def __str__(self) -> str:
        return self.number
