"""What every signal is made from: episodes in a stable order, days at risk day by day, phases."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from surveillance.cases.episodes import PERITONITIS
from surveillance.measures.facts import Facts
from surveillance.measures.infection_rates import counted
from surveillance.signals.phases import Baselines, Phases, baselines
from surveillance.signals.rows import Block
from surveillance.time_at_risk.clinic_range import NOTHING
from surveillance.time_at_risk.stretches import Bools, Ints

DAYS_A_WEEK = 7
_TO_MONDAY = 3  # 1970-01-01 was a Thursday


@dataclass(frozen=True)
class Basis:
    """The facts of some clinics, their phases, and the day on which the watch stops."""

    facts: Facts
    phases: Phases
    stop_day: int  # the day after the last that is looked at

    @cached_property
    def clinics(self) -> list[str]:
        return [str(name) for name in self.facts.at.record.clinics["clinic"]]

    @cached_property
    def dated(self) -> Bools:
        """Clinics with anything dated; the others have no rows."""
        some: Bools = self.facts.when.first < NOTHING
        return some

    @cached_property
    def first_day(self) -> int:
        """A Monday no later than the first day at risk of any clinic."""
        at = self.facts.at
        first: int = int(at.line.day(at.at_risk.start).min(initial=self.stop_day))
        return first - (first + _TO_MONDAY) % DAYS_A_WEEK

    @cached_property
    def at_risk(self) -> Ints:
        """Patients at risk: clinics x days from `first_day` up to `stop_day`."""
        at, width = self.facts.at, max(0, self.stop_day - self.first_day)
        patient = at.line.patient(at.at_risk.start)
        size = len(self.clinics) * (width + 1)
        edges = np.zeros(size, dtype=np.int64)
        for places, sign in ((at.at_risk.start, 1), (at.at_risk.stop, -1)):
            day = np.clip(at.line.day_of(patient, places) - self.first_day, 0, width)
            edges += sign * np.bincount(at.clinic[patient] * (width + 1) + day, minlength=size)
        return edges.reshape(-1, width + 1).cumsum(axis=1)[:, :width]

    @cached_property
    def first_day_at_risk(self) -> Ints:
        """Of each clinic; `stop_day` where nobody ever was."""
        some = self.at_risk > 0
        if not some.shape[1]:
            return np.full(len(some), self.stop_day, dtype=np.int64)
        first = self.first_day + np.argmax(some, axis=1)
        return np.where(some.any(axis=1), first, self.stop_day)

    @cached_property
    def episodes(self) -> tuple[Ints, Ints]:
        """Clinic and onset of every counted peritonitis, by clinic, onset, patient and name."""
        made = self.facts.made
        rows = counted(PERITONITIS)(self.facts)
        rows = rows[made.rows.onset[rows] < self.stop_day]
        keys = (made.rows.name_rank, made.rows.patient, made.rows.onset, made.clinic)
        order = rows[np.lexsort([key[rows] for key in keys])]
        return made.clinic[order], made.rows.onset[order]

    @property
    def weeks(self) -> int:
        """Whole weeks, Monday to Sunday, that have ended."""
        return int(self.at_risk.shape[1]) // DAYS_A_WEEK

    @cached_property
    def mondays(self) -> Ints:
        return self.first_day + DAYS_A_WEEK * np.arange(self.weeks)

    @cached_property
    def days_by_week(self) -> Ints:
        """Patient-days at risk: clinics x weeks."""
        whole = self.at_risk[:, : self.weeks * DAYS_A_WEEK]
        days: Ints = whole.reshape(len(whole), self.weeks, DAYS_A_WEEK).sum(axis=2)
        return days

    @cached_property
    def episodes_by_week(self) -> Ints:
        """Counted peritonitis: clinics x weeks."""
        clinic, onset = self.episodes
        week = (onset - self.first_day) // DAYS_A_WEEK
        ended = week < self.weeks
        cell = clinic[ended] * self.weeks + week[ended]
        size = len(self.clinics) * self.weeks
        return np.bincount(cell, minlength=size).reshape(len(self.clinics), self.weeks)

    def baselines(self, days: Ints) -> Baselines:
        """Phase and expected rate of each clinic on some days."""
        return baselines(self.clinics, self.phases, days, self.facts.rule_set)


Family = Callable[[Basis], Iterator[Block]]
