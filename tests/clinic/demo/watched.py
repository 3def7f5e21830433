"""One invented clinic with what the method and the signals say of it, without any database."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Any

import numpy as np
import pandas as pd

from clinic.catalogue import organism_rows
from clinic.demo.known import known_by
from clinic.demo.network import clinic_rows
from clinic.demo.parameters import ClinicNumbers, Parameters
from clinic.demo.record_folder import Rows, cell_text
from surveillance.cases.organisms import organisms
from surveillance.measures.compute import facts_of, result_of
from surveillance.rules import RULE_SETS
from surveillance.signals.alarm import is_alarm
from surveillance.signals.compute import signals_of, stop_of_watch
from surveillance.tables import Record
from tests.recount.bridge import record_tables
from tests.recount.record_files import COLUMNS

RULES = RULE_SETS["rule_2022"]
DAYS_PER_YEAR = RULES.number("days_per_year")


@cache
def _organisms() -> Any:
    return organisms(pd.DataFrame(organism_rows(), dtype=object))


@dataclass(frozen=True)
class Watched:
    """A clinic's rows as known on a day, and the tables made of them."""

    code: str
    cases: pd.DataFrame
    measures: pd.DataFrame
    signals: pd.DataFrame

    def counted(self, first: str, last: str) -> pd.DataFrame:
        """Counted peritonitis with its onset between two days, both included."""
        rows = self.cases
        onset = rows["onset_on"].astype(str)
        chosen = (rows["kind"] == "peritonitis") & (rows["counts"] == "yes")
        return rows[chosen & (onset >= first) & (onset <= last)]

    def rate_cells(self, periods: tuple[str, ...], split: str = "") -> pd.DataFrame:
        """Numerators and denominators of the peritonitis rate, by band."""
        rows = self.measures
        chosen = (rows["measure"] == "peritonitis_rate") & (rows["split"] == split)
        found = rows[chosen & rows["period"].isin(periods)]
        sums = found.astype({"band": str})[["band", "numerator", "denominator"]]
        return sums.groupby("band").sum()

    def alarms(self) -> list[dict[str, Any]]:
        """Rows that raise an alarm, in order of time."""
        rows = self.signals.astype({"window_end": str, "rule": str, "band": str})
        found = [row for row in rows.to_dict("records") if is_alarm(_plain(row))]
        return sorted(found, key=lambda row: row["window_end"])


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {
        name: None if isinstance(cell, float) and np.isnan(cell) else cell
        for name, cell in row.items()
    }


def watched(numbers: Parameters, clinic: ClinicNumbers, day: date | None = None) -> Watched:
    day = day or numbers.today
    rows: Rows = {
        "clinics": [{"clinic": clinic.code, "name": clinic.name, "time_zone": numbers.time_zone}]
    }
    rows |= known_by(clinic_rows(numbers, clinic), day)
    found = facts_of(demo_record(rows), _organisms(), RULES, day, None)
    result = result_of(found, day)
    signals = signals_of(found, {}, stop_of_watch(day, None))
    return Watched(clinic.code, result.cases, result.measures, signals)


def demo_record(rows: Rows) -> Record:
    """The generator's cells as the texts of record files, and these as the method's tables."""
    texts = {
        file: [{name: _text(row.get(name)) for name in columns} for row in rows.get(file, ())]
        for file, columns in COLUMNS.items()
    }
    return record_tables(texts)


def _text(cell: Any) -> str:
    return cell.isoformat() if isinstance(cell, datetime) else cell_text(cell)
