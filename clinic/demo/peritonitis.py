"""When peritonitis strikes an invented patient, day by day, and what follows from each episode."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from clinic.demo.chance import chosen, how_many, within
from clinic.demo.course import false_alarm, run_course
from clinic.demo.hazards import daily_hazards
from clinic.demo.life import Episode, Life
from clinic.demo.parameters import Parameters, PeritonitisNumbers
from clinic.demo.trainings import train_after_episode


@dataclass(frozen=True)
class Next:
    """The next episode to come: drawn from the hazard, or following from the one before."""

    onset_on: date
    cause: str
    organisms: tuple[str, ...] | None = None  # none: drawn by cause


def live_through_peritonitis(life: Life, numbers: Parameters) -> None:
    """All episodes from the first day on; each may change the trainings, the end, the next."""
    free_from, waiting = life.first_day + timedelta(days=3), None
    while True:
        drawn = _drawn(life, numbers.peritonitis, free_from)
        coming = [found for found in (drawn, waiting) if found is not None]
        coming = [found for found in coming if found.onset_on <= life.last_day]
        if not coming:
            break
        following = min(coming, key=lambda found: found.onset_on)
        episode = run_course(
            life, numbers, following.onset_on, following.cause, following.organisms
        )
        end = episode.therapy_completed_on or life.last_day
        if end < life.last_day:
            train_after_episode(life, numbers.training, end)
        free_from = max(end, _back_on_pd(life)) + timedelta(days=1)
        waiting = _follows(life, numbers, episode)
    _add_false_alarms(life, numbers)


def _back_on_pd(life: Life) -> date:
    ends = [row["last_day_on"] for row in life.pauses]
    return max(ends, default=life.first_day)  # type: ignore[type-var,return-value]


def _drawn(life: Life, numbers: PeritonitisNumbers, free_from: date) -> Next | None:
    """The first day whose summed hazard exceeds a draw from the unit exponential."""
    length = min((life.last_day - free_from).days + 1, 3000)
    if length <= 0:
        return None
    ordinals = np.arange(free_from.toordinal(), free_from.toordinal() + length)
    hazards = daily_hazards(life, numbers, ordinals)
    total = np.cumsum(sum(hazards.values()))
    at = int(np.searchsorted(total, life.rng.exponential()))
    if at >= length:
        return None
    cause = chosen(life.rng, {name: float(hazard[at]) for name, hazard in hazards.items()})
    return Next(date.fromordinal(int(ordinals[at])), cause)


def _follows(life: Life, numbers: Parameters, episode: Episode) -> Next | None:
    """A relapse, a recurrence or a repeat of a cured episode, or nothing."""
    if episode.therapy_completed_on is None or episode.cells.get("judged_refractory") == "yes":
        return None
    outcome, rng = numbers.outcome, life.rng
    kind = chosen(
        rng,
        {
            "relapse": outcome.relapse_share,
            "recurrent": outcome.recurrent_share,
            "repeat": outcome.repeat_share,
            "": 1 - outcome.relapse_share - outcome.recurrent_share - outcome.repeat_share,
        },
    )
    if not kind:
        return None
    gap = within(rng, (35, 200) if kind == "repeat" else (3, 26))
    onset_on = episode.therapy_completed_on + timedelta(days=gap)
    organisms = None if kind == "recurrent" else episode.organisms
    cause = {"skin": "enteric"}.get(episode.cause, "skin") if organisms is None else episode.cause
    return Next(onset_on, cause, organisms)


def _add_false_alarms(life: Life, numbers: Parameters) -> None:
    """Calls that were ruled out, well away from any episode."""
    for _ in range(how_many(life.rng, numbers.peritonitis.ruled_out_rate, life.years)):
        day = life.any_day()
        if all(abs((day - other.onset_on).days) > 60 for other in life.episodes):
            life.episodes.append(false_alarm(life, numbers, day))
