"""The days table and the ledger as the seams declare them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd

from surveillance.tables import RESULT_TABLES
from surveillance.text_columns import days_as_text, of_codes, of_texts, stacked
from surveillance.time_at_risk.calendar import Calendar
from surveillance.time_at_risk.days import BandDays, catheter_days
from surveillance.time_at_risk.ledger import ledger
from surveillance.time_at_risk.period_order import period_ranks
from surveillance.time_at_risk.stretches import Ints
from surveillance.time_at_risk.timeline import AT_RISK, STATES, Timeline


def _undivided(at: Timeline, when: Calendar, days: Ints) -> pd.DataFrame:
    clinic = np.arange(len(days))
    at_risk, in_place = when.sums(days), when.sums(catheter_days(at, when.months))
    cell, period = when.rows(clinic, divided=False)
    return pd.DataFrame(
        {
            "clinic": cell,
            "period": period,
            "split": of_codes(np.full(len(cell), -1), []),
            "band": of_codes(np.full(len(cell), -1), []),
            "days_at_risk": at_risk[cell, period],
            "catheter_days": in_place[cell, period].astype(np.float64),
        }
    )


def _divided(when: Calendar, split: str, made: BandDays) -> pd.DataFrame:
    days = when.sums(made.days)
    cell, period = when.rows(made.clinic, days, divided=True)
    return pd.DataFrame(
        {
            "clinic": made.clinic[cell],
            "period": period,
            "split": of_codes(np.zeros(len(cell), dtype=np.int64), [split]),
            "band": of_codes(made.band[cell], made.labels),
            "days_at_risk": days[cell, period],
            "catheter_days": np.full(len(cell), np.nan),
        }
    )


def days_table(
    at: Timeline, when: Calendar, days: Ints, splits: Mapping[str, BandDays]
) -> pd.DataFrame:
    """The days table of design 3.2: undivided rows of every period, band rows that are not 0.

    days: days at risk of clinics x months. Test: test_days_table.py.
    """
    parts = [_undivided(at, when, days)]
    parts += [_divided(when, split, made) for split, made in splits.items()]
    table = stacked(parts)
    span, text = period_ranks(when.periods)
    clinic, period = table["clinic"].to_numpy(), table["period"].to_numpy()
    split, band = table["split"].cat.codes.to_numpy(), table["band"].cat.codes.to_numpy()
    order = np.lexsort((text[period], band, split, span[period], clinic))
    table = table.iloc[order].reset_index(drop=True)
    names = [period.text for period in when.periods]
    table["clinic"] = of_codes(clinic[order], at.record.clinics["clinic"].tolist())
    table["period"] = of_codes(period[order], names)
    return table


def ledger_table(at: Timeline, when: Calendar) -> pd.DataFrame:
    """The ledger of design 3.2, of every patient whose clinic has rows. Test: as above."""
    made = ledger(at, when.first_day(at.clinic), when.stop_day)
    patients, clinics = at.record.patients, at.record.clinics["clinic"].tolist()
    state = (made.state != AT_RISK).astype(np.int64)
    columns = {
        "clinic": of_codes(at.clinic[made.patient], clinics),
        "patient": of_texts(patients["patient"].to_numpy(object)[made.patient]),
        "started_on": days_as_text(made.start),
        "last_day_on": days_as_text(made.stop - 1),
        "state": of_codes(state, ("at_risk", "off_risk")),
        "days": made.stop - made.start,
        "reason": of_codes(made.state, STATES),
    }
    return pd.DataFrame(columns)[[column.name for column in RESULT_TABLES["ledger"]]]
