"""How many have a first peritonitis by when, with leaving as a competing end, and how often."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from surveillance.estimates.basis import Basis
from surveillance.estimates.observation import Watched, Window, watched, window
from surveillance.estimates.patients import clinic_bounds
from surveillance.estimates.rows import YEARS, Block, Cells, is_of
from surveillance.measures.facts import Facts
from surveillance.measures.peritonitis_free_share import PERITONITIS_FREE_SHARE
from surveillance.periods import day_number, half_open
from surveillance.rates.incidence import aalen_johansen, mean_cumulative_counts
from surveillance.time_at_risk.stretches import Ints

YEAR_DAYS = 365
FIRST_AT_DAYS = (90, 180, 365)
COUNT_AT_DAYS = (365, 730)
CLOCK = "days_since_pd_start"
FREE = PERITONITIS_FREE_SHARE.name
FIRST = "first_peritonitis_cumulative_incidence"
COUNT = "peritonitis_mean_cumulative_count"
OVERSTATES = "overstates: who leaves is taken as if still able to have one"

Key = tuple[str, str, str]  # name, method, day of the clock
Found = dict[Key, float]


def _known(exit_time: Ints, days: tuple[int, ...], values: list[float]) -> list[float]:
    """Nothing is known of a day that nobody was watched to."""
    longest = exit_time.max(initial=0)
    return [value if longest >= day else np.nan for day, value in zip(days, values, strict=True)]


def _by_day(name: str, method: str, days: tuple[int, ...], values: list[float]) -> Found:
    return {(name, method, str(day)): value for day, value in zip(days, values, strict=True)}


def _incidence(part: Window, zero: Ints, days: tuple[int, ...]) -> dict[str, list[float]]:
    """First peritonitis by each day, and what 1 - Kaplan-Meier makes of it."""
    exit_time = part.exit - zero
    curve = aalen_johansen(exit_time, part.cause, days, entry=part.entry - zero)
    names = {"aalen_johansen": "cif_cause_1", "one_minus_kaplan_meier": "one_minus_km"}
    return {method: _known(exit_time, days, curve[name]) for method, name in names.items()}


def _counts(part: Window, zero: Ints, events: Ints) -> dict[str, list[float]]:
    exit_time = part.exit - zero
    leaves = part.cause > 0
    curve = mean_cumulative_counts(events, part.entry - zero, exit_time, leaves, COUNT_AT_DAYS)
    return {method: _known(exit_time, COUNT_AT_DAYS, curve[method]) for method in curve}


def _of(part: Window, patients: tuple[int, int]) -> Window:
    first, stop = np.searchsorted(part.patient, patients)
    own = slice(first, stop)
    return Window(part.patient[own], part.entry[own], part.exit[own], part.cause[own])


def _since_start(facts: Facts, part: Window) -> Ints:
    return facts.at.pd_began[part.patient]


class _Year:
    """The windows of one year or rolling year, of all clinics."""

    def __init__(self, facts: Facts, seen: Watched, days: tuple[int, int]) -> None:
        begin = facts.at.line.first_day
        self.facts, self.days = facts, days
        self.this_year = window(facts, seen, days, days[0])
        self.first_ever = window(facts, seen, days, begin)
        self.whole = window(facts, seen, (begin, days[1]), begin)
        self.all_episodes = window(facts, seen, (begin, days[1]), days[1])
        events = seen.counted_places
        self.event_patient, self.event_day = (
            facts.at.line.patient(events),
            facts.at.line.day(events),
        )

    def of_clinic(self, patients: tuple[int, int]) -> Found:
        found: Found = {}
        for method, share in self._free(patients).items():
            found[FREE, method, ""] = share
        whole = _of(self.whole, patients)
        shares = _incidence(whole, _since_start(self.facts, whole), FIRST_AT_DAYS)
        for method, values in shares.items():
            found |= _by_day(FIRST, method, FIRST_AT_DAYS, values)
        for method, values in self._mean_counts(patients).items():
            found |= _by_day(COUNT, method, COUNT_AT_DAYS, values)
        return found

    def _free(self, patients: tuple[int, int]) -> dict[str, float]:
        """1 - F1: on the clock since the start of PD, and on the year's own days."""
        first, year = _of(self.first_ever, patients), _of(self.this_year, patients)
        began, length = np.full(len(year.patient), self.days[0]), self.days[1] - self.days[0]
        by_start = _incidence(first, _since_start(self.facts, first), (YEAR_DAYS,))
        by_day = _incidence(year, began, (length,))
        return {
            "aalen_johansen": 1 - by_start["aalen_johansen"][0],
            "aalen_johansen_calendar": 1 - by_day["aalen_johansen"][0],
        }

    def _mean_counts(self, patients: tuple[int, int]) -> dict[str, list[float]]:
        part = _of(self.all_episodes, patients)
        own = (self.event_patient >= patients[0]) & (self.event_patient < patients[1])
        own &= self.event_day < self.days[1]
        patient = self.event_patient[own]
        events = self.event_day[own] + 1 - self.facts.at.pd_began[patient]
        return _counts(part, _since_start(self.facts, part), events)


def incidence(basis: Basis) -> Iterator[Block]:
    """Peritonitis-free share by Aalen-Johansen, first peritonitis and mean count since PD began.

    The free share looks at days inside the period only; the others at all who began PD, up to the
    period's last day. Leaving competes, but who moved or was lost goes on unseen; a pause is not
    watched. Source: statistics.md 2.13, 2.14, 2.19. Test: tests/surveillance/estimates/
    test_incidence.py.
    """
    facts, seen = basis.facts, watched(basis.facts)
    bounds = clinic_bounds(facts).tolist()
    found: dict[Key, list[tuple[int, int, float]]] = defaultdict(list)
    for place in np.flatnonzero(is_of(facts.when.periods, YEARS)).tolist():
        period = facts.when.periods[place]
        year = _Year(facts, seen, half_open(day_number(period.start), day_number(period.last_day)))
        for clinic in np.flatnonzero(facts.when.first <= period.first_month).tolist():
            for key, value in year.of_clinic((bounds[clinic], bounds[clinic + 1])).items():
                found[key].append((clinic, place, value))
    for key, rows in found.items():
        yield _block(key, rows)


def _block(key: Key, rows: list[tuple[int, int, float]]) -> Block:
    name, method, day = key
    clinic, period, value = (np.array(column) for column in zip(*rows, strict=True))
    split = CLOCK if day else ""
    note = OVERSTATES if method in ("one_minus_kaplan_meier", "naive") else ""
    band = np.zeros(len(rows), dtype=np.int64)
    at = Cells(clinic.astype(np.int64), period.astype(np.int64))
    return Block(name, method, at, value, note=note, split=split, band=band, labels=(day,))
