"""The baseline that signals compare with: agreed for a phase, else the target of the rule set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from surveillance.rules import RuleSet
from surveillance.time_at_risk.stretches import Bools, Ints

Floats = NDArray[np.float64]

MEASURE = "peritonitis_rate"


@dataclass(frozen=True)
class Phase:
    """From its first day on, up to the next phase, charts start anew and this rate is expected."""

    first_day: int  # since 1970-01-01
    rate: float | None  # per patient-year; None = the target


Phases = Mapping[str, Sequence[Phase]]  # by clinic, in order of their first days


@dataclass(frozen=True)
class Baselines:
    """Clinics x days asked for: which phase holds, and what it expects."""

    phase: Ints  # 0 before the first recorded phase, then 1, 2, ...
    agreed: Floats  # not a number where nobody agreed on a rate
    expected: Floats  # the agreed rate, else the target; per patient-year

    @property
    def is_agreed(self) -> Bools:
        return ~np.isnan(self.agreed)


def baselines(clinics: Sequence[str], phases: Phases, days: Ints, rule_set: RuleSet) -> Baselines:
    """The phase and the baseline of every clinic on some days.

    days: since 1970-01-01. Without an agreed rate the target of the rule set stands in: it is
    published and dated, while a rate estimated from few episodes would multiply false alarms.
    Source: statistics.md 2.22. Test: tests/surveillance/signals/test_phases.py.
    """
    phase = np.zeros((len(clinics), len(days)), dtype=np.int64)
    agreed = np.full((len(clinics), len(days)), np.nan)
    for row, clinic in enumerate(clinics):
        own = phases.get(clinic, ())
        begins = np.array([one.first_day for one in own], dtype=np.int64)
        rates = [np.nan if one.rate is None else one.rate for one in own]
        phase[row] = np.searchsorted(begins, days, "right")
        agreed[row] = np.array([np.nan, *rates])[phase[row]]
    target = rule_set.targets[MEASURE].value
    return Baselines(phase, agreed, np.where(np.isnan(agreed), target, agreed))
