"""Warnings about sign-offs: signed off as competent although the observed exchange had errors."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import tzinfo

from clinic.checks.rows import CheckRow, Finding, PatientRows, by_day, warning
from clinic.nursing_columns import CRITICAL_ITEMS
from clinic.reading import day_text

_SLIPS = ("prompted", "not_done")


def signed_off_with_errors(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    observed = by_day(rows.get("technique_observations", ()), "observed_on")
    for training in rows.get("trainings", ()):
        if training["competent"] != "yes":
            continue
        during = [row for row in observed if _belongs(row, training)]
        slips = [name for name in CRITICAL_ITEMS if during and during[-1][name] in _SLIPS]
        if slips:
            said = (
                f"signed off, but the exchange observed on {day_text(during[-1]['observed_on'])} "
                f"had critical errors: {', '.join(slips)}"
            )
            yield warning("signed_off_with_errors", said, (training, "competent"),
                          (during[-1], slips[0]))  # fmt: skip


def _belongs(observation: CheckRow, training: CheckRow) -> bool:
    """Within the training, from its first session to its last."""
    ended = training["completed_on"]
    began = training["started_on"] or ended
    return bool(ended) and began <= observation["observed_on"] <= ended
