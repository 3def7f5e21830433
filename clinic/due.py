"""What is due for whom: read from the record, so a line leaves when its one thing is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

from clinic.models import CatheterInfection, Clinic, EffluentSample, Peritonitis, RecordRow

# Common practice, no source; each a setting of ours in this one place.
WATCH_DAYS = 180  # older gaps are the Gaps page's, not this morning's
SAMPLE_DAYS = 0  # a sample is drawn on the day of onset
CULTURE_DAYS = 3  # after the sample
SECOND_COUNT_DAYS = 5  # after the first antibiotic; refractory is judged from day 5 (design 3.1)
LAST_DOSE_DAYS = 21  # after the first antibiotic
OUTCOME_DAYS = 28  # after the last dose: relapse can be told by then (design 3.1)


@dataclass(frozen=True)
class Due:
    """One line of the list: who, what, since when, and the one form that settles it."""

    row: RecordRow  # the episode
    what: str
    detail: str
    due_on: date
    action: str
    form: tuple[str, str, RecordRow]  # add or amend, the subject, the row or the parent

    def days_over(self, day: date) -> int:
        return (day - self.due_on).days


@dataclass(frozen=True)
class Watched:
    """A peritonitis episode with its standing samples, and the days that its rules look at."""

    episode: Peritonitis
    samples: tuple[EffluentSample, ...]
    onset_on: date
    treated_from: date
    zone: ZoneInfo

    def sample_day(self, sample: EffluentSample) -> date:
        moment = sample.collected_at
        return moment.astimezone(self.zone).date() if moment else self.onset_on


def due_list(clinic: Clinic, day: date) -> list[Due]:
    """Everything due by this day in the clinic, the earliest first."""
    lines = [line for watched in _watched(clinic, day) for line in _lines(watched)]
    lines += [line for infection in _infections(clinic, day) if (line := _infection(infection))]
    return sorted(
        (line for line in lines if line.due_on <= day),
        key=lambda line: (line.due_on, line.row.patient.number, line.what),
    )


def _watched(clinic: Clinic, day: date) -> Iterable[Watched]:
    recent = Q(onset_on=None) | Q(onset_on__gte=day - timedelta(days=WATCH_DAYS))
    rows = Peritonitis.objects.filter(
        recent,
        patient__clinic=clinic, withdrawn_at=None, patient__withdrawn_at=None,
        patient__died_on=None,
    ).select_related("patient").prefetch_related("samples__isolates")  # fmt: skip
    for episode in rows:
        watched = _watch(episode, clinic.zone)
        if watched and day - watched.onset_on <= timedelta(days=WATCH_DAYS):
            yield watched


def _watch(episode: Peritonitis, zone: ZoneInfo) -> Watched | None:
    samples = tuple(sample for sample in episode.samples.all() if sample.withdrawn_at is None)
    moments = [episode.presented_at, *(sample.collected_at for sample in samples)]
    days = [moment.astimezone(zone).date() for moment in moments if moment]
    onset_on = episode.onset_on or (days[0] if episode.presented_at else min(days, default=None))
    if onset_on is None:
        return None
    first = episode.appropriate_antibiotic_at or episode.first_antibiotic_at
    treated_from = first.astimezone(zone).date() if first else onset_on
    return Watched(episode, samples, onset_on, treated_from, zone)


def _no_sample(watched: Watched) -> Due | None:
    if watched.samples:
        return None
    return Due(
        watched.episode, "No effluent sample recorded", _onset(watched),
        watched.onset_on + timedelta(days=SAMPLE_DAYS), "Enter the sample",
        ("add", "effluent_samples", watched.episode),
    )  # fmt: skip


def _culture_not_back(watched: Watched) -> Due | None:
    waiting = [sample for sample in watched.samples if sample.culture in ("", "pending")]
    answered = [sample for sample in watched.samples if sample.culture not in ("", "pending")]
    if not waiting or (answered and not any(s.culture == "pending" for s in waiting)):
        return None
    sample = min(waiting, key=watched.sample_day)
    return Due(
        watched.episode, "Culture not back",
        f"sample {sample.sample} of {_short(watched.sample_day(sample))}",
        watched.sample_day(sample) + timedelta(days=CULTURE_DAYS), "Enter the culture",
        ("amend", "effluent_samples", sample),
    )  # fmt: skip


def _organism_missing(watched: Watched) -> Due | None:
    for sample in watched.samples:
        named = [isolate for isolate in sample.isolates.all() if isolate.withdrawn_at is None]
        if sample.culture == "grown" and not named:
            return Due(
                watched.episode, "Culture grew, organism not entered",
                f"sample {sample.sample} of {_short(watched.sample_day(sample))}",
                watched.sample_day(sample) + timedelta(days=CULTURE_DAYS), "Enter the organism",
                ("add", "isolates", sample),
            )  # fmt: skip
    return None


def _day_5_count(watched: Watched) -> Due | None:
    due_on = watched.treated_from + timedelta(days=SECOND_COUNT_DAYS)
    later = [s for s in watched.samples if watched.sample_day(s) >= due_on]
    judged = watched.episode.judged_refractory in ("yes", "no")
    if later or judged or not _treated_still(watched, due_on):
        return None
    return Due(
        watched.episode, "Day-5 cell count not entered", f"day 5 was {_short(due_on)}", due_on,
        "Enter the count", ("add", "effluent_samples", watched.episode),
    )  # fmt: skip


def _treated_still(watched: Watched, day: date) -> bool:
    """Once the last dose is entered nobody draws a day-5 sample any more."""
    ended_on = watched.episode.therapy_completed_on
    return ended_on is None and watched.episode.resolved == "" and day > watched.onset_on


def _last_dose(watched: Watched) -> Due | None:
    if watched.episode.therapy_completed_on is not None:
        return None
    return Due(
        watched.episode, "Last dose not entered", _onset(watched),
        watched.treated_from + timedelta(days=LAST_DOSE_DAYS), "Enter the last dose",
        ("amend", "peritonitis", watched.episode),
    )  # fmt: skip


def _outcome(watched: Watched) -> Due | None:
    ended_on = watched.episode.therapy_completed_on
    if ended_on is None or watched.episode.resolved != "":
        return None
    return Due(
        watched.episode, "Outcome not judged", f"last dose {_short(ended_on)}",
        ended_on + timedelta(days=OUTCOME_DAYS), "Judge the outcome",
        ("amend", "peritonitis", watched.episode),
    )  # fmt: skip


_RULES: tuple[Callable[[Watched], Due | None], ...] = (
    _no_sample, _culture_not_back, _organism_missing, _day_5_count, _last_dose, _outcome,
)  # fmt: skip


def _lines(watched: Watched) -> list[Due]:
    return [line for rule in _RULES if (line := rule(watched)) is not None]


def _infections(clinic: Clinic, day: date) -> Iterable[CatheterInfection]:
    return CatheterInfection.objects.filter(
        patient__clinic=clinic, withdrawn_at=None, patient__withdrawn_at=None,
        patient__died_on=None, therapy_completed_on=None,
        onset_on__gt=day - timedelta(days=WATCH_DAYS),
    ).select_related("patient")  # fmt: skip


def _infection(infection: CatheterInfection) -> Due | None:
    site = {"exit_site": "exit-site", "tunnel": "tunnel"}.get(infection.site, "catheter")
    return Due(
        infection, f"Last dose of the {site} infection not entered",
        f"onset {_short(infection.onset_on)}",
        infection.onset_on + timedelta(days=LAST_DOSE_DAYS), "Enter the last dose",
        ("amend", "catheter_infections", infection),
    )  # fmt: skip


def _onset(watched: Watched) -> str:
    return f"onset {_short(watched.onset_on)}"


def _short(day: date) -> str:
    return f"{day.day} {day:%B}"
