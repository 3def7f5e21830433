"""The base record of Tern Quay: one patient, one catheter, one training, one episode."""

import pytest

from clinic.models import Clinic, Patient
from tests import factories


@pytest.fixture
def base_patient(tern_quay: Clinic) -> Patient:
    return make_base_patient(tern_quay)


def make_base_patient(clinic: Clinic) -> Patient:
    """P031 on PD since 5 Feb 2024; E1 of 10 Mar 2025, confirmed and counted."""
    patient = factories.make_patient(clinic)
    factories.make_spell(patient)
    factories.make_catheter(patient)
    factories.make_training(patient)
    episode = factories.make_peritonitis(patient)
    factories.make_isolate(factories.make_sample(episode))
    return patient
