"""Whose a row is: from any row of the record up to its patient and its clinic."""

from __future__ import annotations

from django.db.models import Model

from clinic.models import Clinic, Patient, RecordRow


def clinic_of(row: RecordRow) -> Clinic:
    while not isinstance(row, Clinic):
        row = row.parent
    return row


def patient_of(row: RecordRow) -> Patient | None:
    """The patient of the row; a clinic's row has none."""
    while row is not None and not isinstance(row, Patient):
        row = row.parent
    return row


def path_to_clinic(model: type[Model]) -> str:
    """The look-up that leads from a subject's rows to their clinic: `patient__clinic`."""
    return "__".join(_steps(model))


def path_to_patient(model: type[Model]) -> str:
    """The look-up that leads from a subject's rows to their patient: `peritonitis__patient`."""
    return "__".join(_steps(model)[:-1])


def _steps(model: type[Model]) -> list[str]:
    steps = []
    while issubclass(model, RecordRow) and model.parent_field:
        steps.append(model.parent_field)
        model = model._meta.get_field(model.parent_field).related_model
    return steps
