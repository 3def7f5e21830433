"""Charts drawn at random with a printed seed: the same seed and version, the same charts."""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import dataclass

from reports.rate_report.counting import is_free_ending
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
    reported = _reported(snapshot, period)
    ordered = sorted(reported, key=lambda patient: _rank(seed, snapshot.digest, patient))
    drawn = ordered[: max(0, many)]
    return [Chart(place, one, reported[one]) for place, one in enumerate(drawn, start=1)]


def _rank(seed: str, digest: str, patient: str) -> str:
    return hashlib.sha256("\x1f".join((seed, digest, patient)).encode()).hexdigest()


def _reported(snapshot: Snapshot, period: str) -> dict[str, dict[str, int]]:
    days: Counter[str] = Counter()
    for row in stored_table(snapshot, "ledger", period).rows:
        days[row["patient"]] += int(row["days"]) * (row["state"] == "at_risk")
    cases = [r for r in stored_table(snapshot, "cases", period).rows if r["kind"] == "peritonitis"]
    counted = Counter(row["patient"] for row in cases if row["counts"] == "yes")
    ended = Counter(row["patient"] for row in cases if is_free_ending(row))
    return {
        patient: {
            "days_at_risk": own, "counted_episodes": counted[patient],
            "episodes_at_risk": ended[patient],
        }
        for patient, own in days.items() if own
    }  # fmt: skip
