"""What of a record is visible on the day `as_of`."""

from __future__ import annotations

import numpy as np
import pandas as pd

from surveillance.tables import NO_DAY, Record
from surveillance.time_at_risk.part import keep
from surveillance.time_at_risk.stretches import Bools, Ints

# What begins on which day; what begins after `as_of` is unseen.
_BEGINS = {
    "pd_spells": "started_on",
    "pd_pauses": "started_on",
    "catheters": "inserted_on",
    "catheter_infections": "onset_on",
    "peritonitis": "onset_on",
    "admissions": "admitted_on",
    "contaminations": "happened_on",
}
# Later days are read as empty.
_ENDS = {
    "patients": ("died_on",),
    "pd_spells": ("last_day_on",),
    "pd_pauses": ("last_day_on",),
    "catheters": ("removed_on",),
    "trainings": ("completed_on",),
    "peritonitis": (
        "first_antibiotic_on",
        "appropriate_antibiotic_on",
        "therapy_completed_on",
        "recorded_on",
    ),
    "catheter_infections": ("therapy_completed_on",),
    "admissions": ("discharged_on",),
}


def days_of(frame: pd.DataFrame, column: str) -> Ints:
    """A day column as int64. Test: tests/surveillance/time_at_risk/test_seen.py."""
    return frame[column].to_numpy().astype(np.int64)


def first_known(*columns: Ints) -> Ints:
    """The first of several day columns that is not missing, row by row. Test: test_seen.py."""
    found = columns[0]
    for column in columns[1:]:
        found = np.where(found == NO_DAY, column, found)
    return found


def _onset(record: Record) -> Ints:
    """`onset_on`, else the day of presentation, else of the earliest sample."""
    episodes, samples = record.peritonitis, record.effluent_samples
    far = -NO_DAY
    earliest = np.full(len(episodes), far, dtype=np.int64)
    collected = days_of(samples, "collected_on")
    known = np.where(collected == NO_DAY, far, collected)
    np.minimum.at(earliest, samples["episode"].to_numpy(), known)
    earliest = np.where(earliest == far, NO_DAY, earliest)
    return first_known(days_of(episodes, "onset_on"), days_of(episodes, "presented_on"), earliest)


def _begun(days: Ints, as_of: int) -> Bools:
    begun: Bools = (days != NO_DAY) & (days <= as_of)
    return begun


def _emptied(frame: pd.DataFrame, columns: tuple[str, ...], as_of: int) -> pd.DataFrame:
    for name in columns:
        days = days_of(frame, name)
        later = days > as_of
        if later.any():
            frame = frame.assign(**{name: np.where(later, NO_DAY, days).astype(np.int32)})
    return frame


def seen(record: Record, as_of: int) -> Record:
    """The record as it stands on a day: nothing that begins later, no later end.

    as_of: days since 1970-01-01, itself seen. The onset of every peritonitis is filled in; one
    without any date is left out. Source: design 2. Test: test_seen.py.
    """
    tables = {name: getattr(record, name) for name in record.__dataclass_fields__}
    tables["peritonitis"] = record.peritonitis.assign(onset_on=_onset(record).astype(np.int32))
    wanted = {name: _begun(days_of(tables[name], day), as_of) for name, day in _BEGINS.items()}
    trainings, samples = record.trainings, record.effluent_samples
    begins = first_known(days_of(trainings, "started_on"), days_of(trainings, "completed_on"))
    wanted["trainings"] = _begun(begins, as_of)
    wanted["effluent_samples"] = days_of(samples, "collected_on") <= as_of
    for name, ends in _ENDS.items():
        tables[name] = _emptied(tables[name], ends, as_of)
    return keep(Record(**tables), wanted)
