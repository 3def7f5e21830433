"""A random record, the question and its estimate rows, for routes that look at the rows again."""

import os
from datetime import date, timedelta
from functools import cached_property
from random import Random

import numpy as np
import pandas as pd

from surveillance.estimates.compute import compute_with_estimates
from surveillance.rules import RULE_SETS
from tests.estimates_recount.figures import same
from tests.recount.bridge import NO_DAY, day_number, record_tables
from tests.recount.clinics import ClinicCount, count_clinic
from tests.recount.limits import binomial_share_limits
from tests.recount.organisms import Catalogue
from tests.recount.periods import Period
from tests.recount.random_clinics import Question, random_question, random_record
from tests.recount.record_files import organism_rows
from tests.recount.seen import Rows
from tests.recount.sequence import Case

SEEDS = int(os.environ.get("ESTIMATES_SEEDS", "25"))
CATALOGUE = organism_rows()
KNOWN = Catalogue(CATALOGUE)
Key = tuple[str, str, str]  # clinic, patient, episode


def entered_days(seed: int, rows: Rows) -> dict[Key, date | None]:
    """Record files do not say when a row was entered: a day within a quarter, or nobody knows."""
    rng = Random(f"entered {seed}")
    return {
        (row["clinic"], row["patient"], row["episode"]): rng.choice(
            (None, *(date.fromisoformat(row["onset_on"]) + timedelta(n) for n in range(80)))
        )
        if row["onset_on"]
        else None
        for row in rows["peritonitis"]
    }


class Asked:
    """A random record, the question, and every estimate row of it by its key."""

    def __init__(self, seed: int) -> None:
        self.rows: Rows = random_record(seed)
        self.question: Question = random_question(seed, self.rows)
        asked = (RULE_SETS[self.question.rule_set], self.question.as_of, self.question.through)
        tables = record_tables(self.rows)
        self.entered = entered_days(seed, self.rows)
        tables.peritonitis["recorded_on"] = np.array(
            [day_number(str(day)) if day else NO_DAY for day in self.entered.values()],
            dtype=np.int32,
        )
        _, frame = compute_with_estimates(tables, pd.DataFrame(CATALOGUE), *asked)
        keys = ("clinic", "period", "name", "band", "method")
        self.found = {tuple(row[key] for key in keys): row for row in frame.to_dict("records")}

    def clinics(self, rows: Rows | None = None) -> list[ClinicCount]:
        """Counted once for the record itself, each time for another."""
        return self.own_clinics if rows is None else self.counted(rows)

    @cached_property
    def own_clinics(self) -> list[ClinicCount]:
        return self.counted(self.rows)

    def counted(self, rows: Rows) -> list[ClinicCount]:
        asked = (self.question.rule_set, self.question.as_of, self.question.through)
        return [count_clinic(rows, row, KNOWN, *asked) for row in rows["clinics"]]

    def expect(self, clinic: ClinicCount, period: Period, key: tuple[str, str, str],
               *numbers: float) -> None:  # fmt: skip
        row = self.found[clinic.name, period.name, *key]
        for column, number in zip(("value", "lower", "upper"), numbers, strict=False):
            assert same(row[column], number), (clinic.name, period.name, key, row, numbers)


def longer(clinic: ClinicCount) -> list[Period]:
    return [period for period in clinic.periods if period.has_bands]


def days_at_risk(clinic: ClinicCount, period: Period) -> int:
    return sum(day in one.days.at_risk for one in clinic.patients for day in period.days)


def peritonitis_in(clinic: ClinicCount, period: Period) -> list[Case]:
    cases = [case for one in clinic.patients for case in one.cases if case.kind == "peritonitis"]
    return [case for case in cases if period.holds(case.onset_on)]


def expect_share(
    asked: Asked, clinic: ClinicCount, period: Period, name: str, band: str, yes: int, of: int
) -> None:
    share = yes / of if of else float("nan")
    limits = binomial_share_limits(yes, of) if of else (float("nan"),) * 2
    asked.expect(clinic, period, (name, band, "exact_binomial"), share, *limits)
