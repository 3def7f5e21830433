"""Signal rows of some clinics, and everything that a snapshot stores in one pass."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import pandas as pd

from surveillance.cases.organisms import organisms
from surveillance.estimates.basis import Basis as EstimatesBasis
from surveillance.estimates.compute import estimates_of
from surveillance.measures.compute import PATIENTS_AT_A_TIME, facts_of, joined_result, result_of
from surveillance.measures.facts import Facts
from surveillance.periods import day_number, parse_period
from surveillance.rules import RuleSet
from surveillance.signals.basis import Basis
from surveillance.signals.looks import looks_block
from surveillance.signals.phases import Phases
from surveillance.signals.registry import FAMILIES
from surveillance.signals.rows import signal_frame
from surveillance.tables import Record, Result
from surveillance.text_columns import by_clinic, stacked
from surveillance.time_at_risk.part import parts


@dataclass(frozen=True)
class Everything:
    """All tables that a snapshot stores."""

    result: Result
    estimates: pd.DataFrame
    signals: pd.DataFrame


def stop_of_watch(as_of: date, through: str | None) -> int:
    """The day after the last that signals look at: running months count, unlike in measures.

    Test: tests/surveillance/signals/test_compute.py.
    """
    last = as_of if through is None else min(as_of, parse_period(through).last_day)
    return day_number(last) + 1


def signals_of(facts: Facts, phases: Phases, stop_day: int) -> pd.DataFrame:
    """The signal rows of every registered signal.

    phases: recorded baselines by clinic; stop_day: from `stop_of_watch`. Source: design 3.4.
    Test: tests/surveillance/signals/test_compute.py.
    """
    basis = Basis(facts, phases, stop_day)
    blocks = [block for family in FAMILIES for block in family(basis)]
    return signal_frame([*blocks, looks_block(blocks, len(basis.clinics))], basis.clinics)


def compute_everything(
    record: Record,
    catalogue: pd.DataFrame,
    rule_set: RuleSet,
    as_of: date,
    through: str | None = None,
    phases: Phases | None = None,
) -> Everything:
    """What `measures.compute` gives, with the estimate rows and signal rows of the same clinics.

    Arguments as there; phases: recorded baselines by clinic. Each clinic's rows as if it were
    alone. Source: design 3.4. Test: tests/surveillance/signals/test_compute.py.
    """
    known, stop_day = organisms(catalogue), stop_of_watch(as_of, through)
    results, estimates, signals = [], [], []
    for part in parts(record, PATIENTS_AT_A_TIME):
        found = facts_of(part, known, rule_set, as_of, through)
        results.append(result_of(found, as_of))
        estimates.append(estimates_of(EstimatesBasis(found, known, results[-1].measures)))
        signals.append(signals_of(found, phases or {}, stop_day))
    return Everything(
        joined_result(results), by_clinic(stacked(estimates)), by_clinic(stacked(signals))
    )
