"""How each confirmed peritonitis ended."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases.episodes import Episodes
from surveillance.cases.refractory import refractory
from surveillance.cases.sequence import Sequence
from surveillance.cases.treated import Treated, belongs_to, flags, treated_episodes
from surveillance.rules import RuleSet
from surveillance.tables import NO_DAY, YES, Record
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.stretches import Bools, Ints, next_in
from surveillance.time_at_risk.timeline import Timeline

TRANSFER_PAUSE = "temporary_haemodialysis"
TRANSFER_END = "haemodialysis"


@dataclass(frozen=True)
class Outcomes:
    """Flags of the treated episodes, in their order."""

    treated: Treated
    medical_cure: Bools
    refractory: Ints  # code in REFRACTORY
    catheter_removed: Bools
    haemodialysis_transfer: Bools
    died: Bools
    admitted: Bools
    followed_up: Bools


def _removed(at: Timeline, treated: Treated) -> Bools:
    catheters = at.record.catheters
    day = days_of(catheters, "removed_on")
    for_it = np.asarray(catheters["removal_reason"] == "peritonitis") & (day != NO_DAY)
    patient = catheters["patient"].to_numpy()[for_it]
    return flags(treated, belongs_to(treated, patient, day[for_it]))


def _transfers(record: Record) -> tuple[Ints, Ints, Ints]:
    """Patient, day and first day off dialysis at home of each transfer."""
    pauses, spells = record.pd_pauses, record.pd_spells
    begins = np.asarray(pauses["reason"] == TRANSFER_PAUSE)
    last = days_of(spells, "last_day_on")
    ends = np.asarray(spells["end_reason"] == TRANSFER_END) & (last != NO_DAY)
    patients = [pauses["patient"].to_numpy()[begins], spells["patient"].to_numpy()[ends]]
    started = days_of(pauses, "started_on")[begins]
    return (
        np.concatenate(patients).astype(np.int64),
        np.concatenate([started, last[ends]]),
        np.concatenate([started, last[ends] + 1]),
    )


def _transferred(at: Timeline, treated: Treated, rule_set: RuleSet) -> tuple[Bools, Bools]:
    """Episodes with a transfer, and with one that is long."""
    patient, day, off = _transfers(at.record)
    place = at.line.at(patient, off)
    back = next_in(at.at_risk, place)
    comes = at.line.patient(back) == patient
    long = ~comes | (back - place >= rule_set.days("long_transfer_days"))
    episode = belongs_to(treated, patient, day)
    return flags(treated, episode), flags(treated, episode[long])


def _admissions(
    at: Timeline, rows: Episodes, chained: Sequence, treated: Treated
) -> tuple[Bools, Bools]:
    """Episodes with an admission that names them, and with a death in one."""
    admissions = at.record.admissions
    named = np.append(chained.first, -1)[admissions["episode"].to_numpy()]
    episode = treated.place_of(len(rows))[named]
    died = days_of(at.record.patients, "died_on")[admissions["patient"].to_numpy()]
    out = days_of(admissions, "discharged_on")
    inside = (died != NO_DAY) & (days_of(admissions, "admitted_on") <= died)
    inside &= (out == NO_DAY) | (died <= out)
    return flags(treated, episode), flags(treated, episode[inside])


def _died(at: Timeline, treated: Treated, in_admission: Bools, rule_set: RuleSet) -> Bools:
    """The latest episode that a death belongs to."""
    died = days_of(at.record.patients, "died_on")[treated.patient]
    last = treated.onset + rule_set.days("death_window_days")
    if rule_set.number("death_under_treatment"):
        last = np.maximum(last, treated.treatment_end)
    window = (died != NO_DAY) & (treated.onset <= died) & (died <= last)
    episode = np.flatnonzero(window | in_admission)
    latest = np.full(at.line.patients, -1, dtype=np.int64)
    np.maximum.at(latest, treated.patient[episode], episode)
    return flags(treated, latest)


def outcomes(at: Timeline, rows: Episodes, chained: Sequence, rule_set: RuleSet) -> Outcomes:
    """Outcomes of every confirmed peritonitis that is not a same_episode row.

    Source: design 3.1, outcomes. Test: tests/surveillance/cases/test_outcomes.py.
    """
    treated = treated_episodes(rows, chained, rule_set)
    removed = _removed(at, treated)
    transferred, long = _transferred(at, treated, rule_set)
    admitted, died_inside = _admissions(at, rows, chained, treated)
    died = _died(at, treated, died_inside, rule_set)
    known = treated.therapy_end != NO_DAY
    resolved = at.record.peritonitis["resolved"].to_numpy()[treated.row] == YES
    relapses = chained.next_relapses[treated.row]
    followed_until = np.where(
        known,
        treated.therapy_end + rule_set.days("follow_up_days"),
        treated.onset + rule_set.days("follow_up_without_end_days"),
    )
    return Outcomes(
        treated=treated,
        medical_cure=resolved & known & ~(relapses | removed | long | died),
        refractory=refractory(at, rows, chained, treated, rule_set),
        catheter_removed=removed,
        haemodialysis_transfer=transferred,
        died=died,
        admitted=admitted,
        followed_up=followed_until < at.line.stop_day,
    )
