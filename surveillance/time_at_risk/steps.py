"""A value that changes from day to day of each patient, held as the days on which it changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from surveillance.time_at_risk.stretches import FAR, Ints, Stretches, distinct, each_in, intersect


@dataclass(frozen=True)
class Steps:
    """From start[i] on the value is code[i]; every patient's first place has a step."""

    start: Ints
    code: Ints

    @property
    def stop(self) -> Ints:
        return np.append(self.start[1:], FAR)[: len(self.start)]

    def at(self, place: Ints) -> Ints:
        """The value on each place of the line."""
        return self.code[np.searchsorted(self.start, place, "right") - 1]

    def cut(self, stretches: Stretches) -> tuple[Stretches, Ints]:
        """The stretches cut wherever the value changes, and the value of each piece."""
        return self.pieces(stretches)[1:]

    def pieces(self, stretches: Stretches) -> tuple[Ints, Stretches, Ints]:
        """As `cut`, before them the row of the stretch that each piece is of."""
        row, step, pieces = intersect(stretches, Stretches(self.start, self.stop))
        return row, pieces, self.code[step]


@dataclass(frozen=True)
class BandSteps:
    """Steps whose codes name bands."""

    steps: Steps
    labels: tuple[str, ...]


def steps_from(starts: Ints, place: Ints, code: Ints, otherwise: int) -> Steps:
    """Steps at places, with one value for each patient's days before the first of them.

    starts: each patient's first place; of a place given twice the last value holds.
    Test: tests/surveillance/time_at_risk/test_steps.py.
    """
    where = np.concatenate([starts, place])
    what = np.concatenate([np.full(len(starts), otherwise, dtype=np.int64), code])
    order = np.argsort(where, kind="stable")
    where = where[order]
    last = np.append(where[1:] != where[:-1], True)[: len(where)]
    return Steps(where[last], what[order[last]])


def latest_open(starts: Ints, start: Ints, stop: Ints) -> Steps:
    """For each day the last of the stretches that hold it, by their order; -1 if none does.

    starts: each patient's first place; start, stop: sorted by start, ties in rising precedence,
    none empty. Source: design 2 (of two spells the one started last). Test: test_steps.py.
    """
    place = distinct(np.concatenate([starts, start, stop]))
    code = np.searchsorted(start, place, "right") - 1
    reach = np.append(np.maximum.accumulate(stop), -FAR)
    ends = np.append(stop, -FAR)  # code -1 reads this last one
    while True:
        look_back = (ends[code] <= place) & (reach[code] > place)
        if not look_back.any():
            break
        code = code - look_back
    return Steps(place, np.where(ends[code] > place, code, -1))


def aged(steps: Steps, since: Ints, cuts: Sequence[int]) -> Steps:
    """The steps cut further by age: value = index of the last cut reached, -1 without a clock.

    since: place on the line where each step's clock shows 0, below 0 for none; cuts: ages in days,
    rising from 0. Source: design 2, clocks. Test: test_steps.py.
    """
    ages = np.asarray(cuts, dtype=np.int64)
    first, last = (
        np.where(since < 0, -1, np.searchsorted(ages, place - since, "right") - 1)
        for place in (steps.start, steps.stop - 1)
    )
    row, band = each_in(first, last + 1)
    begins = np.where(band < 0, 0, since[row] + ages[band])
    return Steps(np.maximum(steps.start[row], begins), band)


def age_labels(cuts: Sequence[int]) -> tuple[str, ...]:
    """`0-90`, `91-181`, ..., `730+` for cuts 0, 91, ... Test: test_steps.py."""
    until = [f"{cut}-{after - 1}" for cut, after in zip(cuts, cuts[1:], strict=False)]
    return (*until, f"{cuts[-1]}+")
