"""Days at risk of one patient as sets of days, and why another day is off risk (design 2)."""

from collections.abc import Iterable
from datetime import date, timedelta

from tests.recount.seen import Patient

STOPPING_REASONS = ("temporary_haemodialysis", "catheter_rest")


def each_day(first: date, last: date) -> Iterable[date]:
    """ "started_on and last_day_on both count"."""
    return (first + timedelta(days=n) for n in range((last - first).days + 1))


def spell_days(patient: Patient, as_of: date) -> set[date]:
    """ "An empty last day runs to as_of, itself counted"; "overlaps are a union"."""
    return {
        d
        for spell in patient.spells
        for d in each_day(spell.started_on, spell.last_day_on or as_of)
    }


def paused_days(patient: Patient, as_of: date) -> set[date]:
    """ "temporary_haemodialysis and catheter_rest ...; travel, other and an empty reason never
    stop"."""
    return {
        d
        for pause in patient.pauses
        if pause.reason in STOPPING_REASONS
        for d in each_day(pause.started_on, pause.last_day_on or as_of)
    }


def first_training_day(patient: Patient) -> date | None:
    """ "its started_on, else completed_on; no training = the spell decides"."""
    days = [t.started_on or t.completed_on for t in patient.trainings]
    return min(days, default=None)


def first_spell_day(patient: Patient) -> date | None:
    """ "PD begins on the first spell day in this clinic"."""
    return min((spell.started_on for spell in patient.spells), default=None)


def before_training(patient: Patient, d: date, rule_set: str) -> bool:
    """ "Under rule_2016 no day before the patient's earliest recorded training counts"."""
    first = first_training_day(patient)
    return rule_set == "rule_2016" and first is not None and d < first


def days_at_risk(patient: Patient, rule_set: str, as_of: date) -> set[date]:
    """In a spell, in no stopping pause, not after died_on (that day counts)."""
    last = patient.died_on or as_of
    return {
        d
        for d in spell_days(patient, as_of) - paused_days(patient, as_of)
        if d <= last and not before_training(patient, d, rule_set)
    }


class RiskDays:
    """The days of one patient, with the first reason that holds for a day off risk."""

    def __init__(self, patient: Patient, rule_set: str, as_of: date) -> None:
        self.patient, self.rule_set = patient, rule_set
        self.at_risk = days_at_risk(patient, rule_set, as_of)
        self.paused = paused_days(patient, as_of)
        self.pd_began_on = first_spell_day(patient)

    def reason(self, d: date) -> str:
        """Empty for a day at risk."""
        if d in self.at_risk:
            return ""
        if self.pd_began_on is None or d < self.pd_began_on:
            return "before_pd"  # "before the first spell, or none"
        if d in self.paused:
            return "paused"  # "outside spells too"
        if before_training(self.patient, d, self.rule_set):
            return "before_training"
        return "after_pd"  # "any other day, gaps between spells too"

    def next_at_risk(self, d: date) -> date | None:
        return min((later for later in self.at_risk if later > d), default=None)


def catheter_days(patient: Patient, as_of: date) -> set[date]:
    """ "days with at least one catheter in place, removal day included, at risk or not"."""
    return {
        d for one in patient.catheters for d in each_day(one.inserted_on, one.removed_on or as_of)
    }
