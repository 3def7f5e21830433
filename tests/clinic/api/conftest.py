"""Callers of the API."""

from __future__ import annotations

import pytest

from clinic.models import Person
from tests.clinic.api.calls import Caller


@pytest.fixture
def bramble(nurse: Person) -> Caller:
    return Caller(nurse)


@pytest.fixture
def teasel(data_manager: Person) -> Caller:
    return Caller(data_manager)
