"""The one place that asks what day it is: each clinic has its own."""

import os
from datetime import date

from django.utils import timezone

from clinic.models import Clinic


def today(clinic: Clinic) -> date:
    """Today in the clinic's zone; the environment may fix the day for a demonstration or a test."""
    fixed = os.environ.get("TODAY")
    if fixed:
        return date.fromisoformat(fixed)
    return timezone.localdate(timezone=clinic.zone)
