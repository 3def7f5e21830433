"""Who was watched from when to when, on a clock that starts at each patient's own zero."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.measures.facts import Facts
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.stretches import FAR, Bools, Ints
from surveillance.time_at_risk.timeline import AT_RISK

CENSORED, PERITONITIS, EXIT = range(3)
# Who moved or was lost may go on elsewhere: not watched any longer, but not out of the risk.
GOES_ON = ("moved", "lost")


@dataclass(frozen=True)
class Watched:
    """Stretches of days at risk: sorted by patient and day, in days since 1970-01-01."""

    patient: Ints
    start: Ints
    stop: Ints
    leaves: Bools  # the patient leaves for good when it ends
    first_places: Ints  # sorted places on the line of confirmed peritonitis at risk
    counted_places: Ints  # sorted places of counted peritonitis


@dataclass(frozen=True)
class Window:
    """Watched stretches inside a window up to the first peritonitis; entry < time <= exit."""

    patient: Ints
    entry: Ints
    exit: Ints
    cause: Ints


def _leaves(facts: Facts, patient: Ints, stop: Ints) -> Bools:
    """The last stretch of a patient whose PD has ended, but not by going on elsewhere."""
    at = facts.at
    last = np.append(patient[1:] != patient[:-1], True)[: len(patient)]
    spells = at.record.pd_spells
    ended = days_of(spells, "last_day_on")
    ended = np.where(ended == NO_DAY, FAR, ended)
    order = np.lexsort((ended, spells["patient"].to_numpy()))
    elsewhere = np.zeros(at.line.patients, dtype=bool)
    goes_on = spells["end_reason"].isin(list(GOES_ON)).to_numpy()
    elsewhere[spells["patient"].to_numpy()[order]] = goes_on[order]  # the last to end decides
    died = days_of(at.record.patients, "died_on")[patient] == stop - 1
    leaves: Bools = last & (stop < at.line.stop_day) & (~elsewhere[patient] | died)
    return leaves


def watched(facts: Facts) -> Watched:
    """Every stretch of days at risk and every peritonitis at risk. Test: test_observation.py."""
    at, made = facts.at, facts.made
    patient = at.line.patient(at.at_risk.start)
    start, stop = at.line.day(at.at_risk.start), at.line.day(at.at_risk.stop)
    places = at.line.at(made.rows.patient, made.rows.onset)
    treated = made.outcomes.treated.row
    first = treated[made.state[treated] == AT_RISK]
    counted = np.flatnonzero(made.counts & made.is_peritonitis)
    leaves = _leaves(facts, patient, stop)
    return Watched(patient, start, stop, leaves, np.sort(places[first]), np.sort(places[counted]))


def _first_from(facts: Facts, places: Ints, first_day: int) -> Ints:
    """Day of each patient's first of some places from a day on; FAR without."""
    line = facts.at.line
    everyone = np.arange(line.patients)
    asked = line.at(everyone, np.full(line.patients, first_day))
    found = np.append(places, FAR)[np.searchsorted(places, asked)]
    return np.where(line.patient(found) == everyone, line.day(found), FAR)


def window(facts: Facts, seen: Watched, days: tuple[int, int], events_from: int) -> Window:
    """What of the stretches lies in [days), in days, up to the first peritonitis.

    events_from: the first day on which a peritonitis ends the watch; one before the window leaves
    nothing to watch. Test: tests/surveillance/estimates/test_observation.py.
    """
    begin, end = days
    event = _first_from(facts, seen.first_places, events_from)[seen.patient]
    start = np.maximum(seen.start, begin)
    stop = np.minimum(np.minimum(seen.stop, end), event + 1)
    inside = start < stop
    leaves = seen.leaves & (seen.stop <= end)
    cause = np.select([stop == event + 1, leaves], [PERITONITIS, EXIT], CENSORED)
    return Window(seen.patient[inside], start[inside], stop[inside], cause[inside])
