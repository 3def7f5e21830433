"""The one place that asks what day it is: each clinic has its own."""

import os
from datetime import UTC, date, datetime

from django.utils import timezone

from clinic.models import Clinic


def _fixed_day() -> date | None:
    """The environment may fix the day, for a demonstration or a test."""
    fixed = os.environ.get("TODAY")
    return date.fromisoformat(fixed) if fixed else None


def today(clinic: Clinic) -> date:
    """Today in the clinic's zone."""
    return _fixed_day() or timezone.localdate(timezone=clinic.zone)


def now() -> datetime:
    """This moment; on a fixed day, the clock's time of that day."""
    moment = timezone.now()
    fixed = _fixed_day()
    return datetime.combine(fixed, moment.timetz()).astimezone(UTC) if fixed else moment
