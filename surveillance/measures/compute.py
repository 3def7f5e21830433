"""The method from end to end: a record in, measures, cases, days and ledger out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

import pandas as pd

from surveillance.cases.case_table import case_table
from surveillance.cases.organisms import Organisms, organisms
from surveillance.measures import MEASURES
from surveillance.measures.facts import Facts, facts
from surveillance.measures.rows import Labels, in_order, measure_frame, rows_of
from surveillance.periods import day_number
from surveillance.rules import RuleSet
from surveillance.tables import Record, Result
from surveillance.text_columns import by_clinic, stacked
from surveillance.time_at_risk.calendar import calendar
from surveillance.time_at_risk.days_table import days_table, ledger_table
from surveillance.time_at_risk.part import parts
from surveillance.time_at_risk.seen import seen

PATIENTS_AT_A_TIME = 20_000  # columns stay near the processor, and few tables are cut


def _measures(known: Facts, as_of: date) -> pd.DataFrame:
    figures = [
        (name, figure) for name, measure in MEASURES.items() for figure in measure.figures(known)
    ]
    rows = in_order(rows_of(figures, known.when), known.when.periods)
    clinics = known.at.record.clinics["clinic"].tolist()
    return measure_frame(rows, Labels(clinics, known.when.periods, known.rule_set, as_of))


def facts_of(
    record: Record, known: Organisms, rule_set: RuleSet, as_of: date, through: str | None
) -> Facts:
    """What measures and estimates are made of. Test: test_compute.py."""
    visible = seen(record, day_number(as_of))
    when = calendar(visible, as_of, through)
    return facts(visible, known, rule_set, when, day_number(as_of))


def result_of(found: Facts, as_of: date) -> Result:
    """The four tables of some clinics. Test: test_compute.py."""
    return Result(
        measures=_measures(found, as_of),
        cases=case_table(found.at, found.made),
        days=days_table(found.at, found.when, found.clinic_days_by_month, found.band_days),
        ledger=ledger_table(found.at, found.when),
    )


def results_by_part(
    record: Record,
    catalogue: pd.DataFrame,
    rule_set: RuleSet,
    as_of: date,
    through: str | None = None,
    patients_at_a_time: int = PATIENTS_AT_A_TIME,
) -> Iterator[Result]:
    """The results of runs of whole clinics, one after the other, so that memory stays bounded.

    Arguments as `compute`; patients_at_a_time: about how many patients a run holds.
    Test: tests/surveillance/measures/test_compute.py.
    """
    known = organisms(catalogue)
    for part in parts(record, patients_at_a_time):
        yield result_of(facts_of(part, known, rule_set, as_of, through), as_of)


def compute(
    record: Record,
    catalogue: pd.DataFrame,
    rule_set: RuleSet,
    as_of: date,
    through: str | None = None,
) -> Result:
    """Measures, cases, days and ledger of some clinics; each clinic's rows as if it were alone.

    record: as tables.py declares it; catalogue: rows of fixtures/organisms.csv as text; rule_set:
    one of RULE_SETS; as_of: the day up to which the record is read, itself included; through: the
    last period, as 2025-Q3, or None for all that have ended. Source: design 2 and 3.
    Test: tests/surveillance/test_recount_agrees.py, a second, slow route to every row.
    """
    return joined_result(list(results_by_part(record, catalogue, rule_set, as_of, through)))


def joined_result(found: Sequence[Result]) -> Result:
    """The results of several runs of clinics as one. Test: test_compute.py."""
    names = ("measures", "cases", "days", "ledger")
    tables = {name: by_clinic(stacked([getattr(part, name) for part in found])) for name in names}
    return Result(**tables)
