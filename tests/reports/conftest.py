"""Tern Quay with its record, computed and signed: what every page test of the reports reads."""

import pytest

from clinic.models import Clinic, Person
from surveillance.models import Snapshot
from tests.reports.stored import draft_of, fill, signed_by


@pytest.fixture
def draft(tern_quay: Clinic) -> Snapshot:
    fill(tern_quay)
    return draft_of(tern_quay)


@pytest.fixture
def signed(draft: Snapshot, data_manager: Person, director: Person) -> Snapshot:
    """The first quarter of 2025, prepared by the data manager and signed by the director."""
    return signed_by(draft.clinic, data_manager, director)
