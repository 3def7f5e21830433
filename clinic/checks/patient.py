"""Every check of one patient's rows, in one list: add a check by adding its name."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import tzinfo

from clinic.checks import care, episodes, laboratory, lifetime, order, parents, technique
from clinic.checks.rows import Finding, PatientRows

Check = Callable[[PatientRows, tzinfo], Iterator[Finding]]

CHECKS: tuple[Check, ...] = (
    parents.rows_without_parent,
    order.ends_before_starts,
    order.episodes_without_onset,
    lifetime.facts_outside_life,
    lifetime.ages_beyond_belief,
    laboratory.isolates_without_growth,
    laboratory.isolates_of_nothing,
    laboratory.cultures_not_yet_told,
    laboratory.counts_in_another_unit,
    care.overlapping_spells,
    care.two_catheters,
    care.open_after_death,
    care.reasons_without_day,
    care.history_elsewhere,
    episodes.episodes_off_risk,
    episodes.doses_before_arrival,
    episodes.onsets_after_arrival,
    episodes.sequences_in_doubt,
    episodes.closed_without_reason,
    technique.signed_off_with_errors,
)


def check_patient(rows: PatientRows, zone: tzinfo) -> list[Finding]:
    """Faults and warnings in which at least one changed row has a part.

    `rows` are all standing rows of the patient with the changed ones in place; `zone` is the
    clinic's. Both the import and every action that writes a row ask here.
    """
    found = [
        finding
        for check in CHECKS
        for finding in check(rows, zone)
        if any(mark.row.changed for mark in finding.marks)
    ]
    return lifetime.told_at_the_patient(found)
