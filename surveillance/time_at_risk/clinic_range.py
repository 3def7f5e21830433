"""Which months each clinic's rows cover."""

from __future__ import annotations

import numpy as np

from surveillance.tables import Record
from surveillance.time_at_risk.months import Months
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.stretches import Ints

NOTHING = 2**31  # no month: a clinic with nothing dated has no rows

_DATED = {
    "pd_spells": "started_on",
    "catheters": "inserted_on",
    "peritonitis": "onset_on",
    "catheter_infections": "onset_on",
}


def first_months(visible: Record) -> Ints:
    """The January of the year in which each clinic's record begins, in months since 1970-01.

    visible: from `seen`. The earliest spell, insertion or onset decides. Source: design 2 and 3.3.
    Test: tests/surveillance/time_at_risk/test_clinic_range.py.
    """
    clinic = visible.patients["clinic"].to_numpy()
    found = np.full(len(visible.clinics), NOTHING, dtype=np.int64)
    for name, column in _DATED.items():
        frame = getattr(visible, name)
        np.minimum.at(found, clinic[frame["patient"].to_numpy()], days_of(frame, column))
    known = found < NOTHING
    found[known] = found[known].astype("M8[D]").astype("M8[Y]").astype(np.int64) * 12
    return found


def months_of_all(first: Ints, stop_month: int) -> Months:
    """One run of months that holds every clinic's own. Test: test_clinic_range.py."""
    return Months(int(min(first.min(initial=NOTHING), stop_month)), stop_month)
