"""Which days of each patient are at risk, and why another day is not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from surveillance.periods import half_open
from surveillance.rules import RuleSet
from surveillance.tables import NO_DAY, Record
from surveillance.time_at_risk.line import Line
from surveillance.time_at_risk.seen import days_of, first_known
from surveillance.time_at_risk.stretches import FAR, Ints, Stretches, covers, union, without

# A clinic's rows begin on 1 January, so the line has room for a year before the record.
A_YEAR = 366

# Off-risk reasons in the order in which the first that holds is named; 0 is at risk.
STATES = ("", "before_pd", "paused", "before_training", "after_pd")
AT_RISK, BEFORE_PD, PAUSED, BEFORE_TRAINING, AFTER_PD = range(5)


@dataclass(frozen=True)
class Timeline:
    """The visible record of some clinics with every patient's days on one line."""

    record: Record
    line: Line
    at_risk: Stretches
    pauses: Stretches
    pd_began: Ints  # day of each patient's first spell; FAR = never
    risk_begins: Ints  # rule_2016: first training day; else no bound

    @property
    def clinic(self) -> Ints:
        """Each patient's clinic."""
        return self.record.patients["clinic"].to_numpy().astype(np.int64)

    def state(self, place: Ints) -> Ints:
        """At risk (0) or the first off-risk reason that holds, on each place of the line.

        Source: design 2. Test: tests/surveillance/time_at_risk/test_timeline.py.
        """
        patient, day = self.line.patient(place), self.line.day(place)
        reasons = [
            (covers(self.at_risk, place), AT_RISK),
            (day < self.pd_began[patient], BEFORE_PD),
            (covers(self.pauses, place), PAUSED),
            (day < self.risk_begins[patient], BEFORE_TRAINING),
        ]
        return np.select([held for held, _ in reasons], [code for _, code in reasons], AFTER_PD)


def open_ended(frame: pd.DataFrame, first: str, last: str, stop_day: int) -> tuple[Ints, Ints]:
    """[start, stop) of rows with an inclusive last day; an empty one runs to `as_of`.

    stop_day: the day after `as_of`. Source: design 2. Test: test_timeline.py.
    """
    start, last_day = days_of(frame, first), days_of(frame, last)
    return half_open(start, np.where(last_day == NO_DAY, stop_day - 1, last_day))


def earliest(patient: Ints, day: Ints, patients: int) -> Ints:
    """The earliest day of each patient's rows; FAR without any. Test: test_timeline.py."""
    found = np.full(patients, FAR, dtype=np.int64)
    np.minimum.at(found, patient, day)
    return found


def _first_training(record: Record) -> Ints:
    trainings = record.trainings
    begins = first_known(days_of(trainings, "started_on"), days_of(trainings, "completed_on"))
    return earliest(trainings["patient"].to_numpy(), begins, len(record.patients))


def _risk_begins(record: Record, rule_set: RuleSet) -> Ints:
    """No training, or a rule set that does not ask for one: the spell decides."""
    if rule_set.text("start_of_risk") != "first_training":
        return np.full(len(record.patients), -FAR, dtype=np.int64)
    first = _first_training(record)
    return np.where(first == FAR, -FAR, first)


def _pauses(record: Record, rule_set: RuleSet, line: Line) -> Stretches:
    stopping = record.pd_pauses["reason"].isin(list(rule_set.words("stopping_pauses")))
    pauses = record.pd_pauses[stopping]
    start, stop = open_ended(pauses, "started_on", "last_day_on", line.stop_day)
    patient = pauses["patient"].to_numpy()
    return union(line.at(patient, start), line.at(patient, stop))


def _at_risk(record: Record, line: Line, pauses: Stretches, begins: Ints) -> Stretches:
    """Spells to the day of death, from the start of risk on, without the stopping pauses."""
    spells = record.pd_spells
    patient = spells["patient"].to_numpy()
    start, stop = open_ended(spells, "started_on", "last_day_on", line.stop_day)
    died = days_of(record.patients, "died_on")[patient]
    stop = np.minimum(stop, np.where(died == NO_DAY, FAR, died + 1))
    start = np.maximum(start, begins[patient])
    some = start < stop
    places = [line.at(patient[some], days[some]) for days in (start, stop)]
    return without(union(*places), pauses)


def _first_day(record: Record, as_of: int) -> int:
    """A day no later than any that the line must hold."""
    columns = [
        days_of(record.pd_spells, "started_on"),
        days_of(record.pd_pauses, "started_on"),
        days_of(record.catheters, "inserted_on"),
        days_of(record.trainings, "started_on"),
        days_of(record.trainings, "completed_on"),
        days_of(record.peritonitis, "onset_on"),
        days_of(record.catheter_infections, "onset_on"),
    ]
    known = np.concatenate([column[column != NO_DAY] for column in columns])
    return int(known.min(initial=as_of)) - A_YEAR


def timeline(visible: Record, rule_set: RuleSet, as_of: int) -> Timeline:
    """The days at risk of every patient of a record already cut down to what is seen.

    visible: from `seen`; as_of: days since 1970-01-01, itself counted. Source: design 2.
    Test: tests/surveillance/time_at_risk/test_timeline.py.
    """
    line = Line(_first_day(visible, as_of), as_of + 1, len(visible.patients))
    pauses = _pauses(visible, rule_set, line)
    begins = _risk_begins(visible, rule_set)
    spells = visible.pd_spells
    began = earliest(spells["patient"].to_numpy(), days_of(spells, "started_on"), line.patients)
    return Timeline(visible, line, _at_risk(visible, line, pauses, begins), pauses, began, begins)
