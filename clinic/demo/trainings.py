"""When an invented patient is trained: at the start, by schedule, after an episode."""

from __future__ import annotations

from datetime import date, timedelta

from clinic.demo.chance import chosen, happens, within
from clinic.demo.life import Life
from clinic.demo.parameters import TrainingNumbers
from clinic.demo.record_folder import Row
from clinic.demo.story_parameters import Lapse


def plan_trainings(life: Life, numbers: TrainingNumbers) -> None:
    """Initial training from the first day on PD, then the schedule, with some of it missed."""
    lapse = life.clinic.lapse
    life.trainings.append(_initial(life, numbers))
    planned = life.first_day + timedelta(days=numbers.first_scheduled_days)
    while planned < life.last_day:
        spread = within(life.rng, (-numbers.spread_days, numbers.spread_days))
        day = planned + timedelta(days=spread)
        lapsed = lapse is not None and lapse.holds(day)
        if not happens(life.rng, numbers.missed_share) and not lapsed:
            life.trainings.append(_training(life, numbers, "scheduled", day))
        planned += timedelta(days=numbers.then_every_days)
    if lapse is not None and life.first_day < lapse.last_day < life.last_day:
        _catch_up(life, numbers, lapse)


def _catch_up(life: Life, numbers: TrainingNumbers, lapse: Lapse) -> None:
    """Instead of what the schedule had planned for these weeks."""
    day = lapse.last_day + timedelta(days=within(life.rng, (1, lapse.catch_up_days)))
    life.trainings = [
        row
        for row in life.trainings
        if row["kind"] == "initial" or not lapse.last_day < row["completed_on"] <= lapse.over_on  # type: ignore[operator]
    ]
    life.trainings.append(_training(life, numbers, "scheduled", day))


def _initial(life: Life, numbers: TrainingNumbers) -> Row:
    length = within(life.rng, numbers.initial_days)
    completed_on = life.first_day + timedelta(days=length)
    row = _training(life, numbers, "initial", completed_on)
    row |= {
        "started_on": life.first_day,
        "hours": within(life.rng, numbers.initial_hours),
        "sessions": length + 1,
        "home_visit": "yes" if happens(life.rng, numbers.home_visit_share) else "no",
        "first_alone_on": completed_on + timedelta(days=within(life.rng, (1, 4))),
    }
    lapse = life.clinic.lapse
    if lapse is not None and lapse.holds(life.first_day):
        row |= {"trainer": lapse.trainer, "hours": lapse.initial_hours, "sessions": 3}
        row |= {"competent": "unknown", "knowledge_check": "no", "home_visit": "no"}
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
        "trainer": _trainer(life, completed_on),
        "learner": "helper" if life.assistance == "family" else "patient",
        "hours": within(rng, (1, 3)),
        "competent": "yes" if happens(rng, numbers.competent_share) else "no",
        "sessions": 1,
        "place": chosen(rng, numbers.places),
        "language": chosen(rng, numbers.languages),
        "knowledge_check": "yes",
    }


def _trainer(life: Life, day: date) -> str:
    lapse = life.clinic.lapse
    if lapse is not None and lapse.holds(day):
        return lapse.trainer
    there = [trainer.code for trainer in life.clinic.trainers if trainer.works(day)]
    return chosen(life.rng, dict.fromkeys(there, 1.0))


def training_days(life: Life) -> list[date]:
    return sorted(row["completed_on"] for row in life.trainings)  # type: ignore[type-var,misc]
