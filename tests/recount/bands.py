"""The band of one day of one patient under every split (design 3.3, last table)."""

from collections.abc import Callable
from datetime import date

from tests.recount.days import first_spell_day
from tests.recount.seen import Catheter, Patient, Spell, Training

CLOCK_BANDS = ((90, "0-90"), (181, "91-181"), (364, "182-364"), (729, "365-729"))
CATHETER_BANDS = ((30, "0-30"), (90, "31-90"), *CLOCK_BANDS[1:])


def band_of(elapsed_days: int, bands: tuple[tuple[int, str], ...]) -> str:
    return next((name for last, name in bands if elapsed_days <= last), "730+")


def done_by(patient: Patient, d: date, kind: str = "") -> list[Training]:
    return [
        t
        for t in patient.trainings
        if t.completed_on and t.completed_on <= d and kind in ("", t.kind)
    ]


def since_training(patient: Patient, d: date, kind: str = "") -> str:
    """ "d minus the latest training (any kind; or that kind) on or before d; that day = 0"."""
    done = [t.completed_on for t in done_by(patient, d, kind)]
    return band_of((d - max(done)).days, CLOCK_BANDS) if done else "none_recorded"


def time_on_pd(patient: Patient, d: date) -> str:
    """ "since PD began, gaps not subtracted"."""
    return band_of((d - first_spell_day(patient)).days, CLOCK_BANDS)


def catheter_of(patient: Patient, d: date) -> Catheter | None:
    """ "in place, both end days in; of two the later inserted, of one day the last by name"."""
    in_place = [
        c
        for c in patient.catheters
        if c.inserted_on <= d and (c.removed_on is None or d <= c.removed_on)
    ]
    return max(in_place, key=lambda c: (c.inserted_on, c.name), default=None)


def catheter_age(patient: Patient, d: date) -> str:
    catheter = catheter_of(patient, d)
    if catheter is None:
        return "none_recorded"
    return band_of((d - catheter.inserted_on).days, CATHETER_BANDS)


def insertion_method(patient: Patient, d: date) -> str:
    catheter = catheter_of(patient, d)
    return "none_recorded" if catheter is None else catheter.insertion_method or "unknown"


def spell_of(patient: Patient, d: date) -> Spell:
    """ "Of two spells on one day the one started last gives modality and assistance"."""
    on_it = [
        s
        for s in patient.spells
        if s.started_on <= d and (s.last_day_on is None or d <= s.last_day_on)
    ]
    return max(on_it, key=lambda s: s.started_on)


def trainer_of(trainings: list[Training]) -> str:
    """ "same day: first by name, empty last"."""
    named = sorted(t.trainer for t in trainings if t.trainer)
    return named[0] if named else "unknown"


def trainer(patient: Patient, d: date) -> str:
    """ "of the latest training of any kind"."""
    done = done_by(patient, d)
    if not done:
        return "none_recorded"
    latest = max(t.completed_on for t in done)
    return trainer_of([t for t in done if t.completed_on == latest])


def first_trainer(patient: Patient, d: date) -> str:
    """ "of the earliest initial training on or before the day; same day likewise"."""
    done = done_by(patient, d, "initial")
    if not done:
        return "none_recorded"
    earliest = min(t.completed_on for t in done)
    return trainer_of([t for t in done if t.completed_on == earliest])


SPLITS: dict[str, Callable[[Patient, date], str]] = {
    "time_since_training": since_training,
    "time_since_initial_training": lambda p, d: since_training(p, d, "initial"),
    "time_since_scheduled_training": lambda p, d: since_training(p, d, "scheduled"),
    "time_since_triggered_training": lambda p, d: since_training(p, d, "triggered"),
    "time_on_pd": time_on_pd,
    "catheter_age": catheter_age,
    "insertion_method": insertion_method,
    "modality": lambda p, d: spell_of(p, d).modality or "unknown",
    "assistance": lambda p, d: spell_of(p, d).assistance or "unknown",
    "trainer": trainer,
    "first_trainer": first_trainer,
}


def bands_of_day(patient: Patient, d: date) -> dict[str, str]:
    """Every split's band of a day at risk (so it lies in a spell)."""
    return {split: band(patient, d) for split, band in SPLITS.items()}
