"""Peritonitis episodes: sample, culture, counts of day 3 and day 5, last dose, outcome."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

from clinic.due.line import WATCH_DAYS, Due, short
from clinic.models import Clinic, EffluentSample, Peritonitis

# Common practice, no source; each a setting of ours in this one place.
SAMPLE_DAYS = 0  # a sample is drawn on the day of onset
CULTURE_DAYS = 3  # after the sample
FIRST_COUNT_DAYS = 3  # after the first antibiotic
SECOND_COUNT_DAYS = 5  # after the first antibiotic; refractory is judged from day 5 (design 3.1)
LAST_DOSE_DAYS = 21  # after the first antibiotic, where no end is planned
OUTCOME_DAYS = 30  # after the last dose: relapse can be told from day 28 on (design 3.1)


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


def lines(clinic: Clinic, day: date) -> Iterator[Due]:
    for watched in _watched(clinic, day):
        yield from (line for rule in _RULES if (line := rule(watched, day)) is not None)


def _watched(clinic: Clinic, day: date) -> Iterable[Watched]:
    recent = Q(onset_on=None) | Q(onset_on__gte=day - timedelta(days=WATCH_DAYS))
    rows = Peritonitis.objects.filter(
        recent,
        patient__clinic=clinic, withdrawn_at=None, patient__withdrawn_at=None,
        patient__died_on=None, closed_as="",
    ).select_related("patient__clinic")  # fmt: skip
    for episode in rows.prefetch_related("samples__isolates", "therapy_rows", "call_rows"):
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


def _no_sample(watched: Watched, day: date) -> Due | None:
    if watched.samples or _still_on_the_way(watched, day):
        return None
    return Due(
        watched.episode, "No effluent sample recorded", _onset(watched),
        watched.onset_on + timedelta(days=SAMPLE_DAYS), "Enter the sample",
        ("add", "effluent_samples", watched.episode),
    )  # fmt: skip


def _still_on_the_way(watched: Watched, day: date) -> bool:
    """Called, not yet here: the page says so under Now."""
    episode = watched.episode
    came = episode.presented_at or episode.first_antibiotic_at
    called = any(call.withdrawn_at is None for call in episode.call_rows.all())
    return called and not came and day - watched.onset_on <= timedelta(days=1)


def _culture_not_back(watched: Watched, day: date) -> Due | None:
    waiting = [sample for sample in watched.samples if sample.culture in ("", "pending")]
    answered = [sample for sample in watched.samples if sample.culture not in ("", "pending")]
    if not waiting or (answered and not any(s.culture == "pending" for s in waiting)):
        return None
    sample = min(waiting, key=watched.sample_day)
    return Due(
        watched.episode, "Culture not back",
        f"sample {sample.sample} of {short(watched.sample_day(sample))}",
        watched.sample_day(sample) + timedelta(days=CULTURE_DAYS), "Enter the culture",
        ("amend", "effluent_samples", sample),
    )  # fmt: skip


def _organism_missing(watched: Watched, day: date) -> Due | None:
    for sample in watched.samples:
        named = [isolate for isolate in sample.isolates.all() if isolate.withdrawn_at is None]
        if sample.culture == "grown" and not named:
            return Due(
                watched.episode, "Culture grew, organism not entered",
                f"sample {sample.sample} of {short(watched.sample_day(sample))}",
                watched.sample_day(sample) + timedelta(days=CULTURE_DAYS), "Enter the organism",
                ("add", "isolates", sample),
            )  # fmt: skip
    return None


def _day_3_count(watched: Watched, day: date) -> Due | None:
    """Once day 5 has come it is that day's count that is due."""
    due_on = watched.treated_from + timedelta(days=FIRST_COUNT_DAYS)
    until = watched.treated_from + timedelta(days=SECOND_COUNT_DAYS)
    counted = any(watched.sample_day(sample) >= due_on for sample in watched.samples)
    if counted or not watched.samples or not _treated_still(watched, due_on) or day >= until:
        return None
    return Due(
        watched.episode, "Day-3 cell count not entered", f"day 3 is {short(due_on)}", due_on,
        "Enter the count", ("add", "effluent_samples", watched.episode), "day 3",
    )  # fmt: skip


def _day_5_count(watched: Watched, day: date) -> Due | None:
    due_on = watched.treated_from + timedelta(days=SECOND_COUNT_DAYS)
    later = [s for s in watched.samples if watched.sample_day(s) >= due_on]
    judged = watched.episode.judged_refractory in ("yes", "no")
    if judged or any(_tells(sample) for sample in later) or not _treated_still(watched, due_on):
        return None
    form = ("amend", "effluent_samples", later[0]) if later else None
    return Due(
        watched.episode, "Day-5 cell count and appearance not entered",
        f"day 5 was {_weekday(due_on)}", due_on, "Enter the count",
        form or ("add", "effluent_samples", watched.episode), "day 5",
    )  # fmt: skip


def _tells(sample: EffluentSample) -> bool:
    """Whether it shows if the effluent has cleared."""
    return sample.leucocytes_per_ul is not None or sample.appearance != ""


def _weekday(day: date) -> str:
    return f"{day:%A} {short(day)}"


def _treated_still(watched: Watched, day: date) -> bool:
    """Once the last dose is entered nobody draws a day-5 sample any more."""
    ended_on = watched.episode.therapy_completed_on
    return ended_on is None and watched.episode.resolved == "" and day > watched.onset_on


def _last_dose(watched: Watched, day: date) -> Due | None:
    """On the day that was planned for it; without a plan, after three weeks."""
    if watched.episode.therapy_completed_on is not None:
        return None
    given = [row for row in watched.episode.therapy_rows.all() if row.withdrawn_at is None]
    open_ = [row for row in given if row.last_dose_on is None and row.planned_last_dose_on]
    last = max(open_, key=lambda row: row.planned_last_dose_on, default=None)
    usual = watched.treated_from + timedelta(days=LAST_DOSE_DAYS)
    return Due(
        watched.episode,
        f"Planned end of therapy: {last.agent}" if last else "Last dose not entered",
        _onset(watched), last.planned_last_dose_on if last else usual,
        "Confirm the last dose" if last else "Enter the last dose",
        ("amend", "peritonitis", watched.episode),
    )  # fmt: skip


def _outcome(watched: Watched, day: date) -> Due | None:
    ended_on = watched.episode.therapy_completed_on
    if ended_on is None or watched.episode.resolved != "":
        return None
    return Due(
        watched.episode, "30-day check: outcome not judged", f"last dose {short(ended_on)}",
        ended_on + timedelta(days=OUTCOME_DAYS), "Judge the outcome",
        ("amend", "peritonitis", watched.episode), "day 30 after",
    )  # fmt: skip


_RULES: tuple[Callable[[Watched, date], Due | None], ...] = (
    _no_sample, _culture_not_back, _organism_missing, _day_3_count, _day_5_count,
    _last_dose, _outcome,
)  # fmt: skip


def _onset(watched: Watched) -> str:
    return f"onset {short(watched.onset_on)}"
