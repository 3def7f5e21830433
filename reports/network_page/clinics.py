"""Which versions of a network's clinics one person may see beside each other, and how."""

from __future__ import annotations

from dataclasses import dataclass

from clinic.models import Clinic, Person
from clinic.roles import conditions
from clinic.shards import clinics_of_network
from reports.rate_report.period_text import rolling_year
from reports.versions import best_snapshot
from surveillance.models import Snapshot
from surveillance.snapshots import periods

NETWORK = "dashboard.network"
FEWEST_OTHERS = 5  # access.csv: with fewer the network's total stands alone


@dataclass(frozen=True)
class Beside:
    """The clinics of a quarter; `is_coded`: a director, who sees the others unnamed."""

    own: Clinic
    versions: list[Snapshot]
    is_coded: bool
    missing: int  # clinics without a version that this reader may see

    @property
    def shows_others(self) -> bool:
        return not self.is_coded or len(self.versions) - 1 >= FEWEST_OTHERS


def beside(person: Person, clinic: Clinic, quarter: str) -> Beside:
    """An officer has signed versions alone; a director the best there is of each."""
    held = conditions(person, NETWORK, clinic)
    clinics = list(clinics_of_network(clinic.network).order_by("name"))
    found = [_version(one, quarter, "signed only" in held) for one in clinics]
    versions = [one for one in found if one is not None]
    return Beside(clinic, versions, "coded" in held, len(clinics) - len(versions))


def _version(clinic: Clinic, quarter: str, signed_only: bool) -> Snapshot | None:
    year = rolling_year(quarter)
    found = best_snapshot(clinic, quarter, year)
    if found is None or year not in periods(found):
        return None
    return None if signed_only and found.state != "signed" else found
