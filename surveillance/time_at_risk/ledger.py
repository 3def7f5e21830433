"""Each patient's stretches of days at risk and off risk, for the recount by hand."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.time_at_risk.stretches import Ints, Stretches, distinct
from surveillance.time_at_risk.timeline import Timeline


@dataclass(frozen=True)
class Ledger:
    """Stretches by patient and day; `state` as in timeline.STATES, stretches half-open in days."""

    patient: Ints
    start: Ints
    stop: Ints
    state: Ints


def ledger(at: Timeline, first_day: Ints, stop_day: int) -> Ledger:
    """One row for each longest stretch of days with the same state and reason.

    first_day: of each patient's clinic's range; stop_day: the day after its last ended month. Every
    day of the range is in one row. Source: design 3.2. Test: test_ledger.py.
    """
    covered = np.flatnonzero(first_day < stop_day)
    opens = at.line.at(covered, first_day[covered])
    closes = at.line.at(covered, np.full(len(covered), stop_day))
    edges = _inside(_edges(at), Stretches(opens, closes))
    place = distinct(np.concatenate([opens, edges]))
    state, patient = at.state(place), at.line.patient(place)
    new = np.ones(len(place), dtype=bool)
    new[1:] = (patient[1:] != patient[:-1]) | (state[1:] != state[:-1])
    place, state, patient = place[new], state[new], patient[new]
    stop = np.append(place[1:], 0)[: len(place)]
    ends = np.append(patient[1:] != patient[:-1], True)[: len(place)]
    stop[ends] = closes
    day = at.line.day
    return Ledger(patient, day(place), day(stop), state)


def _edges(at: Timeline) -> Ints:
    """Every place where a patient's state may change."""
    places = [at.at_risk.start, at.at_risk.stop, at.pauses.start, at.pauses.stop]
    for days in (at.pd_began, at.risk_begins):
        known = np.flatnonzero((days >= at.line.first_day) & (days < at.line.stop_day))
        places.append(at.line.at(known, days[known]))
    return np.concatenate(places)


def _inside(places: Ints, ranges: Stretches) -> Ints:
    row = np.searchsorted(ranges.start, places, "right") - 1
    kept: Ints = places[(row >= 0) & (places < np.append(ranges.stop, -1)[row])]
    return kept
