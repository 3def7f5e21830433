"""Estimates of many clinics at once are those of each alone; the measures stay what they are."""

from datetime import date

import pandas as pd

from surveillance.estimates.compute import compute_with_estimates
from surveillance.measures.compute import compute
from surveillance.rules import RULE_SETS
from surveillance.table_text import table_text
from surveillance.tables import ESTIMATES
from surveillance.time_at_risk.part import parts
from tests.bench.made_record import made_record
from tests.surveillance.records import catalogue, make_record

AS_OF = date(2024, 12, 31)
RULES = RULE_SETS["rule_2022"]
THREE = made_record(45, 3, seed=20260403)


def rows_of(record) -> pd.DataFrame:
    return compute_with_estimates(record, catalogue(), RULES, AS_OF)[1].astype(object)


def test_a_clinic_has_the_same_rows_alone():
    whole = rows_of(THREE)
    alone = {frame["clinic"].iloc[0]: frame for frame in map(rows_of, parts(THREE, 1))}
    apart = pd.concat([alone[clinic] for clinic in sorted(alone)], ignore_index=True)
    assert len(alone) == 3
    pd.testing.assert_frame_equal(whole, apart)


def test_the_same_record_gives_the_same_bytes():
    texts = {
        table_text("estimates", compute_with_estimates(THREE, catalogue(), RULES, AS_OF)[1])
        for _ in range(2)
    }
    assert len(texts) == 1


def test_the_measures_are_those_of_the_method():
    result, _ = compute_with_estimates(THREE, catalogue(), RULES, AS_OF)
    plain = compute(THREE, catalogue(), RULES, AS_OF)
    for name in ("measures", "cases", "days", "ledger"):
        pd.testing.assert_frame_equal(getattr(result, name), getattr(plain, name))


def test_no_row_stands_twice_and_no_number_is_boundless():
    frame = rows_of(THREE)
    keys = ["clinic", "period", "name", "split", "band", "method"]
    assert not frame.duplicated(keys).any()
    assert not frame[["value", "lower", "upper"]].isin([float("inf"), -float("inf")]).any(axis=None)


def test_limits_lie_around_their_value():
    frame = rows_of(THREE)
    known = frame.dropna(subset=["value", "lower", "upper"])
    near = 1e-12
    assert len(known) > 1_000
    assert (known["lower"] <= known["value"] + near).all()
    assert (known["value"] <= known["upper"] + near).all()


def test_a_clinic_with_nothing_dated_has_no_rows():
    result, frame = compute_with_estimates(make_record(), catalogue(), RULES, AS_OF)
    assert list(frame.columns) == [column.name for column in ESTIMATES]
    assert frame.empty and result.measures.empty
