"""When an invented patient is trained: at the start, by schedule, after an episode."""

from __future__ import annotations

from datetime import date, timedelta

from clinic.demo.chance import chosen, happens, within
from clinic.demo.life import Life
from clinic.demo.parameters import Lapse, TrainingNumbers
from clinic.demo.record_folder import Row


def plan_trainings(life: Life, numbers: TrainingNumbers, lapse: Lapse | None) -> None:
    """Initial training from the first day on PD, then the schedule, with some of it missed."""
    life.trainings.append(_initial(life, numbers, lapse))
    planned = life.first_day + timedelta(days=numbers.first_scheduled_days)
    while planned < life.last_day:
        spread = within(life.rng, (-numbers.spread_days, numbers.spread_days))
        day = planned + timedelta(days=spread)
        lapsed = lapse is not None and lapse.holds(day)
        if not happens(life.rng, numbers.missed_share) and not lapsed:
            life.trainings.append(_training(life, numbers, "scheduled", day))
        planned += timedelta(days=numbers.then_every_days)
    if lapse is not None and life.first_day < lapse.last_day < life.last_day:
        caught_up_on = lapse.last_day + timedelta(days=within(life.rng, (1, lapse.catch_up_days)))
        life.trainings.append(_training(life, numbers, "scheduled", caught_up_on))


def _initial(life: Life, numbers: TrainingNumbers, lapse: Lapse | None) -> Row:
    length = within(life.rng, numbers.initial_days)
    row = _training(life, numbers, "initial", life.first_day + timedelta(days=length))
    row |= {"started_on": life.first_day, "hours": within(life.rng, numbers.initial_hours)}
    if lapse is not None and lapse.holds(life.first_day):
        row |= {"trainer": lapse.trainer, "hours": lapse.initial_hours, "competent": "unknown"}
    return row


def train_after_episode(life: Life, numbers: TrainingNumbers, therapy_completed_on: date) -> None:
    if happens(life.rng, numbers.triggered_share):
        wait = within(life.rng, (1, numbers.triggered_within_days))
        day = therapy_completed_on + timedelta(days=wait)
        life.trainings.append(_training(life, numbers, "triggered", day))


def _training(life: Life, numbers: TrainingNumbers, kind: str, completed_on: date) -> Row:
    rng = life.rng
    return {
        "started_on": completed_on,
        "completed_on": completed_on,
        "kind": kind,
        "trainer": chosen(rng, dict.fromkeys(numbers.trainers, 1.0)),
        "learner": "helper" if life.assistance == "family" else "patient",
        "hours": within(rng, (1, 3)),
        "competent": "yes" if happens(rng, numbers.competent_share) else "no",
    }


def training_days(life: Life) -> list[date]:
    return sorted(row["completed_on"] for row in life.trainings)  # type: ignore[type-var,misc]
