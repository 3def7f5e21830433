"""Charts drawn at random with a printed seed: the same seed and version, the same charts."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from reports.rate_report.counting import own_counts
from reports.rate_report.tables import stored_table
from surveillance.models import Snapshot

FIELDS = {
    "days_at_risk": "days at risk",
    "counted_episodes": "peritonitis episodes that count",
    "episodes_at_risk": "confirmed peritonitis at risk, relapses too",
}


@dataclass(frozen=True)
class Chart:
    """One patient of the sample with what the report says of the period."""

    place: int
    patient: str  # the record number
    reported: dict[str, int]


def draw(snapshot: Snapshot, period: str, many: int, seed: str) -> list[Chart]:
    """Patients with a day at risk, in the order of a digest of seed, version and record number.

    Patients without an episode are drawn too: only so a missed episode can come to light.
    """
    ledger, cases = (stored_table(snapshot, name, period).rows for name in ("ledger", "cases"))
    reported = own_counts(ledger, cases)
    ordered = sorted(reported, key=lambda patient: _rank(seed, snapshot.digest, patient))
    drawn = ordered[: max(0, many)]
    return [Chart(place, one, reported[one]) for place, one in enumerate(drawn, start=1)]


def _rank(seed: str, digest: str, patient: str) -> str:
    return hashlib.sha256("\x1f".join((seed, digest, patient)).encode()).hexdigest()
