"""Tern Quay's base record of bad_inputs.csv as rows."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from clinic.models import Clinic, Patient, Peritonitis
from tests.factories import (
    make_catheter,
    make_isolate,
    make_patient,
    make_peritonitis,
    make_sample,
    make_spell,
    make_training,
)


@pytest.fixture
def p031(tern_quay: Clinic) -> Patient:
    patient = make_patient(tern_quay)
    make_spell(patient)
    make_catheter(patient)
    make_training(patient)
    return patient


@pytest.fixture
def e1(p031: Patient) -> Peritonitis:
    row = make_peritonitis(
        p031,
        presented_at=datetime(2025, 3, 10, 9, 40, tzinfo=UTC),
        first_antibiotic_at=datetime(2025, 3, 10, 11, 5, tzinfo=UTC),
    )
    make_isolate(make_sample(row, collected_at=datetime(2025, 3, 10, 10, 15, tzinfo=UTC)))
    return row
