"""What the nurse keeps beside an invented episode: the call, the antibiotics, the review."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from clinic.demo.chance import chosen, happens, within
from clinic.demo.life import Episode, Life
from clinic.demo.parameters import Parameters
from clinic.demo.record_folder import Row
from clinic.nursing_columns import RED_FLAGS

_LONG_AGO = timedelta(days=60)  # by then every action is done


def keep_beside(life: Life, numbers: Parameters) -> None:
    """For every episode of a life that is complete."""
    for episode in life.episodes:
        _add_call(life, numbers, episode)
        _add_therapies(life, numbers, episode)
        if episode.cause in numbers.review.routes:
            _add_review(life, numbers, episode)


def _moment(cell: object) -> datetime | None:
    return cell if isinstance(cell, datetime) else None


def _add_call(life: Life, numbers: Parameters, episode: Episode) -> None:
    """Only the clinic's own episodes begin with a call to it."""
    came_at = _moment(episode.cells.get("presented_at"))
    if came_at is None or episode.cells.get("found_by") != "clinic":
        return
    if happens(life.rng, numbers.call.called_share):
        called_at = came_at - timedelta(minutes=within(life.rng, (40, 180)))
        episode.calls.append(call(life, numbers, called_at, came_at))


def call(life: Life, numbers: Parameters, called_at: datetime, came_at: datetime) -> Row:
    rng, flag = life.rng, numbers.call.red_flag_share
    flags = {name: "yes" if happens(rng, flag) else "no" for name in RED_FLAGS}
    return {
        "called_at": called_at,
        "caller": "relative" if life.assistance == "family" else "patient",
        **flags,
        "sugar_out_of_hand": flags["sugar_out_of_hand"]
        if life.person["diabetes"] == "yes"
        else "no",
        "first_cloudy_at": called_at - timedelta(minutes=within(rng, (20, 90))),
        "pain_score": within(rng, (7, 10) if flags["severe_pain"] == "yes" else (0, 6)),
        "fever": chosen(rng, {"yes": 0.25, "no": 0.7, "unknown": 0.05}),
        "last_dwell_hours": within(rng, (3, 9)),
        "happened": chosen(rng, numbers.call.happened),
        "expected_at": came_at.replace(minute=0),
        "said_back": "yes" if happens(rng, 0.9) else "no",
    }


def _add_therapies(life: Life, numbers: Parameters, episode: Episode) -> None:
    """Two agents to begin with; once the organism has its name, the one that is meant for it."""
    begun_at = _moment(episode.cells.get("first_antibiotic_at"))
    if begun_at is None:
        return
    first_on, ended_on, therapy = begun_at.date(), episode.therapy_completed_on, numbers.therapy
    empirical = therapy.empirical[within(life.rng, (0, len(therapy.empirical) - 1))]
    targeted = [therapy.targeted[one] for one in episode.organisms if one in therapy.targeted]
    goes_on = targeted[0] if targeted else empirical[0]
    changed_on = first_on + timedelta(days=therapy.targeted_after_days)
    planned_on = ended_on or first_on + timedelta(days=14)
    for agent in dict.fromkeys((*empirical, goes_on)):
        begins = first_on if agent in empirical else changed_on
        stops = ended_on if agent == goes_on else changed_on
        planned = planned_on if agent == goes_on else changed_on
        if stops is None or begins <= stops:
            episode.therapies.append(_therapy(agent, begins, planned, stops))


def _therapy(agent: str, begins: date, planned: date, stops: date | None) -> Row:
    return {
        "agent": agent,
        "route": "oral" if agent == "fluconazole" else "intraperitoneal",
        "first_dose_on": begins,
        "planned_last_dose_on": max(begins, planned),
        "last_dose_on": stops,
    }


def _add_review(life: Life, numbers: Parameters, episode: Episode) -> None:
    """A judgement some two weeks later, with an action, its owner and its day."""
    rng, review = life.rng, numbers.review
    if not happens(rng, review.reviewed_share):
        return
    reviewed_on = episode.onset_on + timedelta(days=within(rng, review.within_days))
    due_on = reviewed_on + timedelta(days=within(rng, review.due_days))
    route = chosen(rng, review.routes[episode.cause])
    closed = happens(rng, review.closed_share) or due_on < numbers.today - _LONG_AGO
    closed_on = due_on - timedelta(days=within(rng, (0, 6)))
    if life.died_on is not None:
        closed, closed_on = True, min(closed_on, max(reviewed_on, life.died_on))
    episode.reviews.append(
        {
            "reviewed_on": reviewed_on,
            "route": route,
            "certainty": chosen(rng, {"confirmed": 0.2, "probable": 0.5, "possible": 0.3}),
            "preventable": chosen(rng, {"yes": 0.3, "partly": 0.35, "no": 0.35}),
            "factors": _factors(life, numbers, reviewed_on),
            "action": review.actions[route],
            "owner": chosen(rng, dict.fromkeys(_owners(life, reviewed_on), 1.0)),
            "due_on": due_on,
            "closed_on": closed_on if closed else None,
        }
    )


def _owners(life: Life, day: date) -> list[str]:
    return [trainer.code for trainer in life.clinic.trainers if trainer.works(day)]


def _factors(life: Life, numbers: Parameters, day: date) -> str:
    """Nobody names the change of staff before it was noticed at the meeting."""
    lapse = life.clinic.lapse
    if lapse is not None and lapse.last_day <= day <= lapse.over_on:
        return "staff_change"
    return chosen(life.rng, numbers.review.factors)
