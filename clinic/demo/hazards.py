"""How likely peritonitis is on each day: by cause, training clock, season, lapse and water bath."""

from __future__ import annotations

from datetime import date

import numpy as np
from numpy.typing import NDArray

from clinic.demo.life import Life
from clinic.demo.parameters import PeritonitisNumbers
from clinic.demo.story_parameters import Lapse
from clinic.demo.trainings import training_days

A_FIRST_OF_JANUARY = date(2023, 1, 1).toordinal()

Days = NDArray[np.int64]
Floats = NDArray[np.float64]


def daily_hazards(life: Life, numbers: PeritonitisNumbers, days: Days) -> dict[str, Floats]:
    """Expected episodes on each day (as ordinals) by cause."""
    helped = numbers.helped_factor if life.assistance != "self" else 1.0
    base = numbers.rate[life.modality] * helped * life.frailty / 365.25
    phase = (days - A_FIRST_OF_JANUARY + 1 - numbers.enteric_peak_day) / 365.25
    factors = {
        "skin": _clock_factor(life, numbers, days),
        "enteric": 1 + numbers.enteric_season * np.cos(2 * np.pi * phase),
    }
    flat = np.ones(len(days))
    hazards = {
        cause: base * share * factors.get(cause, flat) for cause, share in numbers.causes.items()
    }
    return hazards | {"water": hazards["water"] + _of_the_bath(life, days)}


def _clock_factor(life: Life, numbers: PeritonitisNumbers, days: Days) -> Floats:
    """Skin organisms: more often just after the start, and long after the latest training."""
    trained = np.array([day.toordinal() for day in training_days(life)])
    latest = np.maximum(np.searchsorted(trained, days, side="right") - 1, 0)
    since = days - trained[latest]
    factor = np.where(since > numbers.stale_days, numbers.stale_factor, 1.0)
    factor = np.where(days - trained[0] < numbers.fresh_days, numbers.fresh_factor, factor)
    lapse = life.clinic.lapse
    return factor if lapse is None else _lapsed(life, lapse, days, since, factor)


def _lapsed(life: Life, lapse: Lapse, days: Days, since: Days, factor: Floats) -> Floats:
    """The lapse holds for each patient until the catch-up; nothing else tells who is concerned."""
    first, last = lapse.first_day.toordinal(), lapse.last_day.toordinal()
    trained_again = [day for day in training_days(life) if day > lapse.last_day]
    caught_up = min((day.toordinal() for day in trained_again), default=last)
    in_lapse = (days >= first) & (days < caught_up)
    if lapse.holds(life.first_day):
        is_new = days - life.first_day.toordinal() < lapse.new_days
        return np.where(in_lapse & is_new, lapse.new_factor, factor)
    unchecked = in_lapse & (since > lapse.unchecked_days)
    return np.where(unchecked, lapse.unchecked_factor, factor)


def _of_the_bath(life: Life, days: Days) -> Floats:
    bath = life.clinic.water_bath
    if bath is None or not life.is_exposed:
        return np.zeros(len(days))
    open_then = (days >= bath.first_day.toordinal()) & (days <= bath.last_day.toordinal())
    return np.where(open_then, bath.weekly_hazard / 7, 0.0)
