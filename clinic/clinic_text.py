"""What a clinic tells a caller, and its due schedule: its own wording, or ours until it has one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from clinic.models import Clinic, ClinicText, Person

# Ours, to be replaced by the clinic's own protocol; common practice, no source.
TELL = """Keep the cloudy bag. Do not empty it or throw it away.
Come to the clinic now and bring the bag. We expect you by [time].
If shivering or strong pain begins, go to the emergency department and say that you have a \
PD catheter."""
SEND_AT_ONCE = (
    "Go to the emergency department now, or call an ambulance. Say that you have a PD catheter, "
    "and take the cloudy bag along."
)
REASSESSMENT_DAYS = 180
EXIT_SITE_CHECK_DAYS = 90
RETRAINING_DAYS = 14  # after an event that asks for one
LONG_STAY_DAYS = 14  # in hospital, from which on it is such an event
EXPECTED = "[time]"  # stands for the moment at which the patient is expected
CAUTION = (
    "For surveillance, not for diagnosis or treatment. A cloudy bag is treated as peritonitis "
    "until that is excluded; delay harms."
)


@dataclass(frozen=True)
class Wording:
    tell: str
    send_at_once: str
    reassessment_days: int
    exit_site_check_days: int
    retraining_days: int
    long_stay_days: int
    by: Person | None = None  # nobody: the default wording
    at: datetime | None = None

    def instructions(self, expected: str) -> list[str]:
        """One a line, with the time at which the patient is expected."""
        lines = [line.strip() for line in self.tell.splitlines() if line.strip()]
        return [line.replace(EXPECTED, expected or "the agreed time") for line in lines]


DEFAULT = Wording(
    TELL, SEND_AT_ONCE, REASSESSMENT_DAYS, EXIT_SITE_CHECK_DAYS, RETRAINING_DAYS, LONG_STAY_DAYS
)


def wording_of(clinic: Clinic) -> Wording:
    row = ClinicText.objects.filter(clinic=clinic).select_related("by").last()
    if row is None:
        return DEFAULT
    return Wording(
        row.tell, row.send_at_once, row.reassessment_days, row.exit_site_check_days,
        row.retraining_days, row.long_stay_days, row.by, row.at,
    )  # fmt: skip
