"""Episodes that are told, not drawn: the decoys, and the work that waits on the last day."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from clinic.demo.effluent import Sample
from clinic.demo.life import Episode, Life
from clinic.demo.nursing import call
from clinic.demo.parameters import ClinicNumbers, Parameters
from clinic.demo.record_folder import Row
from clinic.demo.story_parameters import Scripted

QUIET_DAYS = 150  # before and after, without another episode or pause


def add_scripted(lives: list[Life], numbers: Parameters, clinic: ClinicNumbers) -> None:
    """Each goes to a patient of its own who is on PD and otherwise well around that time."""
    taken: set[int] = set()
    for number, told in enumerate(clinic.scripted):
        onset_on = told.onset(numbers.today)
        free = [
            place
            for place, life in enumerate(lives)
            if place not in taken and _is_quiet(life, onset_on)
        ]
        place = free[(7 * number + 3) % len(free)]
        taken.add(place)
        lives[place].episodes += _episodes(lives[place], numbers, told, onset_on)


def _is_quiet(life: Life, onset_on: date) -> bool:
    around = timedelta(days=QUIET_DAYS)
    on_pd = life.first_day + around <= onset_on <= life.last_day - around
    away = [abs(one.onset_on - onset_on) > around for one in life.episodes]
    paused = [row["started_on"] - around <= onset_on <= row["last_day_on"] for row in life.pauses]  # type: ignore[operator]
    return on_pd and life.died_on is None and all(away) and not any(paused)


def _episodes(life: Life, numbers: Parameters, told: Scripted, onset_on: date) -> list[Episode]:
    first = _episode(life, numbers, told, onset_on)
    if told.entered_twice:
        return [first, _episode(life, numbers, told, onset_on + timedelta(days=1))]
    if told.relapses_after_days is not None:
        assert first.therapy_completed_on is not None
        again = first.therapy_completed_on + timedelta(days=told.relapses_after_days)
        return [first, _episode(life, numbers, told, again)]
    return [first]


def _episode(life: Life, numbers: Parameters, told: Scripted, onset_on: date) -> Episode:
    presented_at = datetime.combine(onset_on, time(9, 20))
    episode = Episode(onset_on, {"cloudy_effluent": "yes", "found_by": told.found_by})
    episode.entered_after_days = 0 if told.days_ago is not None else told.entered_after_days
    if not told.has_come:
        called_at, expected_at = (
            datetime.combine(onset_on, time(20, 35)),
            datetime.combine(numbers.today, time(8)),
        )
        episode.calls.append(call(life, numbers, called_at, expected_at))
        return episode
    episode.cells |= {
        "presented_at": presented_at,
        "abdominal_pain": "yes",
        "first_antibiotic_at": presented_at + timedelta(minutes=95),
    }
    episode.samples = _samples(presented_at, told)
    if told.organism:
        episode.organisms = (told.organism,)
    if told.last_dose_days is not None:
        _end(episode, told, onset_on)
    return episode


def _end(episode: Episode, told: Scripted, onset_on: date) -> None:
    assert told.last_dose_days is not None
    episode.therapy_completed_on = onset_on + timedelta(days=told.last_dose_days)
    if told.onset_on is not None:  # long ago: judged since
        episode.cells |= {"resolved": "yes", "judged_refractory": "no"}
    if told.stay_days is not None:
        discharged_on = onset_on + timedelta(days=told.stay_days)
        episode.admission = {"admitted_on": onset_on, "discharged_on": discharged_on}


def _samples(presented_at: datetime, told: Scripted) -> list[Sample]:
    first: Row = {
        "collected_at": presented_at + timedelta(minutes=25),
        "dwell_hours": 4,
        "leucocytes_per_ul": told.leucocytes_per_ul,
        "neutrophil_percent": told.neutrophil_percent,
        "appearance": "cloudy",
        "culture": told.culture,
        "antibiotics_before": "no",
    }
    samples: list[Sample] = [(first, (told.organism,) if told.organism else ())]
    if told.day_5_per_ul is not None:
        later: Row = {
            "collected_at": presented_at + timedelta(days=5),
            "dwell_hours": 4,
            "leucocytes_per_ul": told.day_5_per_ul,
            "neutrophil_percent": 40,
            "appearance": "clear",
            "culture": "not_taken",
        }
        samples.append((later, ()))
    return samples
