"""How each confirmed peritonitis ended."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases.episodes import PERITONITIS, Episodes
from surveillance.cases.organisms import pairs
from surveillance.cases.sequence import NOT_IN_SEQUENCE, SAME_EPISODE, Sequence
from surveillance.rules import RuleSet
from surveillance.tables import NO, NO_DAY, YES, Record
from surveillance.time_at_risk.seen import days_of, first_known
from surveillance.time_at_risk.splits import text_rank
from surveillance.time_at_risk.stretches import Bools, Ints, next_in
from surveillance.time_at_risk.timeline import Timeline

REFRACTORY = ("no", "yes", "not_assessable")
NOT_ASSESSABLE = 2
TRANSFER_PAUSE = "temporary_haemodialysis"
TRANSFER_END = "haemodialysis"


@dataclass(frozen=True)
class Treated:
    """The episodes that are asked for outcomes, by patient and onset."""

    row: Ints  # row of Episodes
    patient: Ints
    onset: Ints
    therapy_end: Ints  # NO_DAY where unknown
    treatment_end: Ints  # last day under treatment

    def place_of(self, rows: int) -> Ints:
        """Place here of each row of Episodes, -1 for the others and for row -1."""
        place = np.full(rows + 1, -1, dtype=np.int64)
        place[self.row] = np.arange(len(self.row))
        return place


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


def _treated(rows: Episodes, chained: Sequence, rule_set: RuleSet) -> Treated:
    asked = ~np.isin(chained.sequence, (NOT_IN_SEQUENCE, SAME_EPISODE)) & (rows.kind == PERITONITIS)
    row = np.flatnonzero(asked)
    row = row[np.lexsort((rows.onset[row], rows.patient[row]))]
    onset, end = rows.onset[row], chained.therapy_end[row]
    without = onset + rule_set.days("treatment_without_end_days")
    return Treated(row, rows.patient[row], onset, end, np.where(end == NO_DAY, without, end))


def _belongs_to(treated: Treated, patient: Ints, day: Ints) -> Ints:
    """The episode of latest onset under treatment on each patient's day; -1 if none."""
    event, episode = pairs(patient.astype(np.int64), treated.patient)
    day_of_event = day[event]
    under = (treated.onset[episode] <= day_of_event) & (
        day_of_event <= treated.treatment_end[episode]
    )
    found = np.full(len(patient), -1, dtype=np.int64)
    np.maximum.at(found, event[under], episode[under])
    return found


def _flags(treated: Treated, episodes: Ints) -> Bools:
    return np.isin(np.arange(len(treated.row)), episodes)


def _removed(at: Timeline, treated: Treated) -> Bools:
    catheters = at.record.catheters
    day = days_of(catheters, "removed_on")
    for_it = np.asarray(catheters["removal_reason"] == "peritonitis") & (day != NO_DAY)
    patient = catheters["patient"].to_numpy()[for_it]
    return _flags(treated, _belongs_to(treated, patient, day[for_it]))


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
    episode = _belongs_to(treated, patient, day)
    return _flags(treated, episode), _flags(treated, episode[long])


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
    return _flags(treated, episode), _flags(treated, episode[inside])


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
    return _flags(treated, latest)


def _judged_samples(
    at: Timeline, rows: Episodes, chained: Sequence, treated: Treated, rule_set: RuleSet
) -> tuple[Ints, Ints]:
    """Sample and its episode, for each that may show whether therapy works, the earliest first."""
    samples, episodes = at.record.effluent_samples, at.record.peritonitis
    owner = samples["episode"].to_numpy()
    episode = treated.place_of(len(rows))[chained.first[owner]]
    source = np.append(treated.row, 0)[episode]  # peritonitis comes first in Episodes
    given = first_known(
        days_of(episodes, "appropriate_antibiotic_on"), days_of(episodes, "first_antibiotic_on")
    )
    start = np.append(given, NO_DAY)[source]
    day = days_of(samples, "collected_on")
    says = (samples["leucocytes_per_ul"].notna() | samples["appearance"].notna()).to_numpy()
    first = np.maximum(
        np.append(treated.onset, 0)[episode], start + rule_set.days("refractory_from_day")
    )
    last = np.append(treated.treatment_end, 0)[episode]
    useful = (episode >= 0) & (start != NO_DAY) & says & (first <= day) & (day <= last)
    sample = np.flatnonzero(useful)
    names = (text_rank(samples["sample"].iloc[sample]), rows.name_rank[owner[sample]])
    order = np.lexsort((*names, samples["collected_at"].to_numpy()[sample], day[sample]))
    return sample[order], episode[sample[order]]


def _refractory(
    at: Timeline, rows: Episodes, chained: Sequence, treated: Treated, rule_set: RuleSet
) -> Ints:
    """Judged by a clinician, else by the first sample late enough under treatment."""
    samples = at.record.effluent_samples
    limit = rule_set.number("refractory_leucocytes_above_per_ul")
    bad = ((samples["appearance"] == "cloudy") | (samples["leucocytes_per_ul"] > limit)).to_numpy()
    sample, episode = _judged_samples(at, rows, chained, treated, rule_set)
    found = np.full(len(treated.row), NOT_ASSESSABLE, dtype=np.int64)
    with_sample, place = np.unique(episode, return_index=True)
    found[with_sample] = bad[sample[place]]
    judged = at.record.peritonitis["judged_refractory"].to_numpy()[treated.row]
    return np.select([judged == YES, judged == NO], [YES, NO], found)


def outcomes(at: Timeline, rows: Episodes, chained: Sequence, rule_set: RuleSet) -> Outcomes:
    """Outcomes of every confirmed peritonitis that is not a same_episode row.

    Source: design 3.1, outcomes. Test: tests/surveillance/cases/test_outcomes.py.
    """
    treated = _treated(rows, chained, rule_set)
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
        refractory=_refractory(at, rows, chained, treated, rule_set),
        catheter_removed=removed,
        haemodialysis_transfer=transferred,
        died=died,
        admitted=admitted,
        followed_up=followed_until < at.line.stop_day,
    )
