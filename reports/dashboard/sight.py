"""What one reader may see of a clinic's Quarter: the table of rights, asked once."""

from __future__ import annotations

from clinic.decisions import WRITE
from clinic.models import Person
from clinic.roles import can
from reports.dashboard.material import Sight
from reports.network_page.clinics import NETWORK
from reports.readers import sees_patients
from surveillance.models import Snapshot


def sight_of(person: Person, snapshot: Snapshot) -> Sight:
    return Sight(
        opens_recount=can(person, "recount.open", snapshot),
        sees_days=sees_patients(person, snapshot),
        sees_trainers=can(person, "dashboard.trainer_cohort", snapshot),
        sees_repeat_patients=can(person, "dashboard.repeat_patients", snapshot),
        sees_signals=can(person, "dashboard.signals", snapshot),
        is_inside=can(person, "dashboard.clinic_draft", snapshot),
        may_decide=can(person, WRITE, snapshot.clinic),
        sees_network=can(person, NETWORK, snapshot.clinic),
    )
