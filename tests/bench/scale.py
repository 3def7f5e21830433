"""The whole method on a made-up record of any size: stages, cost a patient, separate clinics."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from surveillance.cases.organisms import organisms
from surveillance.measures.compute import PATIENTS_AT_A_TIME, result_of, results_by_part
from surveillance.measures.facts import facts
from surveillance.periods import day_number
from surveillance.rules import RULE_SETS
from surveillance.table_text import table_text
from surveillance.tables import RESULT_TABLES, Record, Result
from surveillance.time_at_risk.calendar import calendar
from surveillance.time_at_risk.part import parts
from surveillance.time_at_risk.seen import seen
from tests.bench.made_record import made_record
from tests.bench.stages import Figures, Stages
from tests.bench.training_table import bare_columns, bare_pass, by_method, by_pandas, clean

AS_OF = date(2024, 12, 31)
RULES = RULE_SETS["rule_2022"]
PATIENTS_OF_A_CLINIC = 500
TEXT_UP_TO = 10_000  # patients: the text of 45 million rows is a matter of disk, not of method


def catalogue() -> pd.DataFrame:
    return pd.read_csv("fixtures/organisms.csv", dtype=str, keep_default_na=False)


def record_of_size(patients: int) -> Record:
    return made_record(patients, max(1, patients // PATIENTS_OF_A_CLINIC))


def read_once(record: Record) -> None:
    """Every input column that holds numbers or codes, read from memory once."""
    for name in record.__dataclass_fields__:
        frame: pd.DataFrame = getattr(record, name)
        for column in frame:
            values = frame[column]
            choice = isinstance(values.dtype, pd.CategoricalDtype)
            if choice or values.dtype != object:
                np.sum((values.cat.codes if choice else values).to_numpy())


def whole_method(patients: int) -> Figures:
    """Every table and split, one part after the other, nothing kept but the number of rows."""
    stages, rows = Stages(), 0
    record = stages.measured("making the record (not counted)", lambda: record_of_size(patients))
    stages.measured("reading the columns once", lambda: read_once(record))
    known, cut = organisms(catalogue()), parts(record, PATIENTS_AT_A_TIME)
    while part := stages.measured("cutting into parts", lambda: next(cut, None)):
        result = _of_part(stages, part, known)
        rows += sum(len(getattr(result, name)) for name in RESULT_TABLES)
        if patients <= TEXT_UP_TO:
            with stages.stage("canonical text (not counted)"):
                _ = [table_text(name, getattr(result, name)) for name in RESULT_TABLES]
    return stages.figures() | {"rows": rows, "patients": patients}


def _of_part(stages: Stages, part: Record, known: Any) -> Result:
    day = day_number(AS_OF)
    with stages.stage("what is seen, and the calendar"):
        visible = seen(part, day)
        when = calendar(visible, AS_OF, None)
    with stages.stage("cases, days at risk, splits"):
        found = facts(visible, known, RULES, when, day)
    with stages.stage("rows of all four tables"):
        return result_of(found, AS_OF)


def training_table(patients: int) -> Figures:
    """Time since training by quarter in three ways, which must agree, in one process."""
    stages = Stages()
    record = clean(record_of_size(patients))
    with stages.stage("reading the columns once"):
        for frame in (record.patients, record.pd_spells, record.trainings):
            for column in frame.select_dtypes("number"):
                np.sum(frame[column].to_numpy())
    columns = bare_columns(record, AS_OF)
    bare = stages.measured("bare pass over days", lambda: bare_pass(*columns))
    ours = stages.measured("the method", lambda: by_method(record, AS_OF))
    plain = stages.measured("plain pandas", lambda: by_pandas(record, AS_OF))
    if not (np.array_equal(ours, bare) and np.array_equal(ours, plain)):
        raise AssertionError("the three ways give different days")
    return stages.figures() | {"rows": int(ours.sum()), "patients": patients}


def separate_clinics(patients: int) -> Figures:
    """Clinics computed together and each by itself: the same rows, by digest."""
    record, stages = record_of_size(patients), Stages()
    found = {
        name: stages.measured(name, lambda size=size: _digest(_results(record, size)))
        for name, size in (("together", PATIENTS_AT_A_TIME), ("each by itself", 1))
    }
    if len(set(found.values())) != 1:
        raise AssertionError(f"the rows differ: {found}")
    return stages.figures() | {"rows": len(record.clinics), "patients": patients}


def _results(record: Record, patients_at_a_time: int) -> Iterable[Result]:
    return results_by_part(record, catalogue(), RULES, AS_OF, None, patients_at_a_time)


def _digest(results: Iterable[Result]) -> str:
    """Of every cell of every table, column by column, whatever the parts."""
    digests = {name: [hashlib.sha256() for _ in RESULT_TABLES[name]] for name in RESULT_TABLES}
    for result in results:
        for name, columns in digests.items():
            frame = getattr(result, name)
            for digest, column in zip(columns, frame, strict=True):
                digest.update(_cells(frame[column]).tobytes())
    return "".join(one.hexdigest() for columns in digests.values() for one in columns)


def _cells(values: pd.Series[Any]) -> np.ndarray[Any, Any]:
    if not isinstance(values.dtype, pd.CategoricalDtype):
        return values.to_numpy().astype(np.float64)
    labels = pd.util.hash_array(values.cat.categories.to_numpy(object))
    return np.append(labels, np.uint64(0))[values.cat.codes.to_numpy()]
