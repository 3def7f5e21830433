"""Each clinic has its own day; a fixed day is every clinic's."""

from datetime import UTC, date, datetime

import pytest
from django.utils import timezone

from clinic.clock import now, today
from clinic.models import Clinic

LATE = datetime(2026, 1, 20, 23, 30, tzinfo=UTC)


@pytest.fixture
def real_clock(monkeypatch):
    monkeypatch.delenv("TODAY")
    monkeypatch.setattr(timezone, "now", lambda: LATE)


@pytest.mark.parametrize(
    ("zone", "day"), [("Europe/London", 20), ("Pacific/Auckland", 21), ("America/Lima", 20)]
)
def test_a_clinic_lives_in_its_own_day(zone, day, real_clock):
    assert today(Clinic(time_zone=zone)) == date(2026, 1, day)


def test_a_fixed_day_is_every_clinics(monkeypatch):
    monkeypatch.setenv("TODAY", "2024-02-29")
    assert today(Clinic(time_zone="Pacific/Auckland")) == date(2024, 2, 29)
    assert now().date() == date(2024, 2, 29)


def test_the_moment_is_the_clocks_own(real_clock):
    assert now() == LATE
