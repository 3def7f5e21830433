"""The demonstration's true stories and decoys, as the parameter file tells them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True)
class Lapse:
    """A trainer left: training was shortened, reassessments stopped, until somebody noticed."""

    first_day: date
    last_day: date
    trainer: str  # who then trained alone
    initial_hours: int
    extra_starters: int  # beyond those who balance the exits
    catch_up_days: int  # afterwards everybody is reassessed once within these
    new_factor: float  # on skin organisms of those first trained in it ...
    new_days: int  # ... for so long, or until their next training
    unchecked_days: int  # on those who were trained before, but not for so long
    unchecked_factor: float

    def holds(self, day: date) -> bool:
        return self.first_day <= day <= self.last_day

    @property
    def over_on(self) -> date:
        """The day by which everybody has been caught up."""
        return self.last_day + timedelta(days=self.catch_up_days)


@dataclass(frozen=True)
class WaterBath:
    """Bags warmed in a water bath: some patients are exposed to water organisms for some weeks."""

    place: str
    first_day: date
    last_day: date
    patients: int
    weekly_hazard: float

    def touches(self, onset_on: date) -> bool:
        """Whether exchanges were made there in the two weeks before."""
        return self.first_day <= onset_on <= self.last_day + timedelta(days=14)


@dataclass(frozen=True)
class Sampling:
    """From one day on blood-culture bottles are filled at the bedside, and more cultures grow."""

    changed_on: date
    negative_share_before: float


@dataclass(frozen=True)
class Scripted:
    """An episode that is told, not drawn; what is not told waits, or is not known."""

    onset_on: date | None = None
    days_ago: int | None = None  # instead of the onset: before the demonstration's day
    has_come: bool = True  # no: has called, and nobody has come yet
    leucocytes_per_ul: int | None = None
    neutrophil_percent: float | None = None
    culture: str = "pending"
    organism: str = ""
    day_5_per_ul: int | None = None
    last_dose_days: int | None = None  # after onset
    found_by: str = "clinic"
    stay_days: int | None = None  # in hospital, from the onset on
    entered_after_days: int | None = None  # none: at once if recent, else as late as any other
    entered_twice: bool = False  # a second row, of the day after, for the same illness
    relapses_after_days: int | None = None  # after the last dose, with the same organism
    called_new_by: str = ""  # who holds that the relapse is a new episode
    called_new_because: str = ""

    def onset(self, today: date) -> date:
        if self.onset_on is not None:
            return self.onset_on
        assert self.days_ago is not None
        return today - timedelta(days=self.days_ago)
