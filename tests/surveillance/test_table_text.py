"""Canonical text reads back to the same cells."""

import csv
import io

import numpy as np
import pandas as pd
import pytest

from surveillance.table_text import quoted, table_text
from surveillance.text_columns import constant, of_texts

DAYS = {
    "clinic": of_texts(np.array(["A, B", 'say "C"'], dtype=object)),
    "period": constant("2025-Q3", 2),
    "split": of_texts(np.array(["", "trainer"], dtype=object)),
    "band": of_texts(np.array(["", "Zoë\nT."], dtype=object)),
    "days_at_risk": np.array([2017, 3]),
    "catheter_days": np.array([2000.0, np.nan]),
}


def test_cells_read_back_with_empty_for_missing():
    text = table_text("days", pd.DataFrame(DAYS))
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert rows == [
        ["clinic", "period", "split", "band", "days_at_risk", "catheter_days"],
        ["A, B", "2025-Q3", "", "", "2017", "2000"],
        ['say "C"', "2025-Q3", "trainer", "Zoë\nT.", "3", ""],
    ]


def test_an_empty_table_is_its_header():
    text = table_text("days", pd.DataFrame(DAYS).iloc[:0])
    assert text == "clinic,period,split,band,days_at_risk,catheter_days\n"


@pytest.mark.parametrize("cell", ["plain", "", "0-90", "Zoë"])
def test_quotes_stand_only_where_needed(cell):
    assert quoted(cell) == cell


@pytest.mark.parametrize("value", [0.1 + 0.2, 1e-17, 365.25 * 2 / 2017])
def test_numbers_are_not_rounded(value):
    frame = pd.DataFrame({"value": [value]})
    whole = pd.DataFrame({name: constant("x", 1) for name in ("clinic", "period")})
    columns = {name: [1] for name in ("numerator", "denominator")}
    texts = {
        name: constant("x", 1)
        for name in (
            "period_start", "period_end", "measure", "split", "band", "denominator_unit",
            "interval", "verdict", "rule_set", "as_of",
        )
    }  # fmt: skip
    numbers = {name: [np.nan] for name in ("lower", "upper", "level", "target")}
    row = pd.concat([frame, whole, pd.DataFrame(columns | texts | numbers)], axis=1)
    found = next(csv.DictReader(io.StringIO(table_text("measures", row))))
    assert float(found["value"]) == value
