"""Every row of every table equals the slow recount of the same record (issue 2, point 9)."""

import os
from datetime import date
from math import isclose

import pandas as pd
import pytest
from hypothesis import HealthCheck, Phase, given, settings

from surveillance.measures.compute import compute
from surveillance.rules import RULE_SETS
from tests.recount.bridge import record_tables
from tests.recount.random_clinics import Question, random_question, random_record
from tests.recount.record_files import organism_rows
from tests.recount.recount import recount
from tests.recount.seen import Rows
from tests.recount.shrink import smallest
from tests.recount.strategies import asked_records

# RECOUNT_SEEDS=2000 asks for more clinics than the ordinary 200.
SEEDS = int(os.environ.get("RECOUNT_SEEDS", "200"))
CATALOGUE = organism_rows()
TABLES = ("cases", "days", "ledger", "measures")


def computed(rows: Rows, asked: Question) -> dict[str, list[dict[str, object]]]:
    result = compute(
        record_tables(rows),
        pd.DataFrame(CATALOGUE),
        RULE_SETS[asked.rule_set],
        asked.as_of,
        asked.through,
    )
    return {name: getattr(result, name).to_dict("records") for name in TABLES}


def plain(value: object) -> object:
    """A cell as both routes can say it: empty is missing, days are ISO, numbers are numbers."""
    if value is None or value is pd.NaT or value == "" or value != value:
        return ""
    if isinstance(value, (date, pd.Timestamp)):
        return value.isoformat()[:10]
    if isinstance(value, bool):
        return value
    return value


def same(one: object, other: object) -> bool:
    """Text and integers exactly, other numbers to 1e-9."""
    if isinstance(one, float) or isinstance(other, float):
        numbers = "" not in (one, other)
        return one == other or (numbers and isclose(one, other, rel_tol=1e-9, abs_tol=1e-12))
    return one == other


def first_difference(rows: Rows, asked: Question) -> str:
    """Names the first row that differs, or says nothing."""
    slow = recount(rows, CATALOGUE, asked.rule_set, asked.as_of, asked.through)
    fast = computed(rows, asked)
    for table in TABLES:
        for place, expected in enumerate(slow[table]):
            found = fast[table][place] if place < len(fast[table]) else {}
            if list(found) != list(expected):
                return f"{table} row {place}: recount {expected}, method {found}"
            for name in expected:
                if not same(plain(expected[name]), plain(found[name])):
                    return f"{table} row {place}, {name}: recount {expected}, method {found}"
        if len(fast[table]) != len(slow[table]):
            return f"{table}: {len(slow[table])} rows recounted, {len(fast[table])} computed"
    return ""


def explained(rows: Rows, asked: Question) -> str:
    """The first difference, with the smallest record that still has one."""
    if not first_difference(rows, asked):
        return ""
    few = smallest(rows, lambda fewer: bool(first_difference(fewer, asked)))
    lines = [
        f"{file}: { {name: text for name, text in row.items() if text} }"
        for file, found in few.items()
        for row in found
    ]
    return "\n".join([first_difference(few, asked), str(asked), *lines])


@pytest.mark.parametrize("seed", range(SEEDS))
def test_every_row_equals_the_recount(seed: int) -> None:
    rows = random_record(seed)
    assert explained(rows, random_question(seed, rows)) == ""


# `smallest` shrinks a failure in seconds; hypothesis itself would take minutes.
@settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(asked_records())
def test_clinics_that_hypothesis_makes_equal_the_recount(asked: tuple[Rows, Question]) -> None:
    assert explained(*asked) == ""
