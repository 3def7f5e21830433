"""The patient or the episode of an address, if the person may read it; else there is none."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest

from clinic.models import CatheterInfection, Patient, Peritonitis
from clinic.views.access import reader_clinic, reader_row


def patient_in_sight(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> Patient:
    rows = Patient.objects.filter(withdrawn_at=None)
    return reader_row(request, "patient.read", clinic_uid, rows, uid)


def episode_in_sight(
    request: HttpRequest, clinic_uid: UUID, uid: UUID
) -> Peritonitis | CatheterInfection:
    """Peritonitis, or an exit-site or tunnel infection: both have the same page."""
    clinic = reader_clinic(request, "episode.read", clinic_uid)
    infections = CatheterInfection.objects.filter(withdrawn_at=None)
    if infections.filter(uid=uid, patient__clinic=clinic).exists():
        return reader_row(request, "episode.read", clinic_uid, infections, uid)
    rows = Peritonitis.objects.filter(withdrawn_at=None)
    return reader_row(request, "episode.read", clinic_uid, rows, uid)
