"""What became of each confirmed peritonitis of one patient (design 3.1, Outcomes)."""

from datetime import UTC, date, datetime, timedelta
from itertools import zip_longest

from tests.recount.days import RiskDays
from tests.recount.seen import Admission, Episode, Patient, Sample
from tests.recount.sequence import Case

LONG_TRANSFER_DAYS = 30


def treated_until(case: Case) -> date:
    """ "Under treatment: onset to therapy end, or to onset + 28 if empty"."""
    return case.last_therapy_end or case.onset_on + timedelta(days=28)


def under_treatment(case: Case, d: date) -> bool:
    return case.onset_on <= d <= treated_until(case)


def followed_up(case: Case, as_of: date) -> bool:
    """ "therapy end + 28 (if empty: onset + 90) <= as_of"."""
    end = case.last_therapy_end
    return (end + timedelta(days=28) if end else case.onset_on + timedelta(days=90)) <= as_of


def latest(cases: list[Case]) -> Case | None:
    return max(cases, key=lambda case: case.onset_on, default=None)


def owner(firsts: list[Case], d: date) -> Case | None:
    """ "A removal or transfer belongs to the episode of latest onset under treatment that day"."""
    return latest([case for case in firsts if under_treatment(case, d)])


def transfers(patient: Patient, days: RiskDays) -> list[tuple[date, bool]]:
    """The day of each transfer to haemodialysis, and whether it is long."""
    found = []
    for pause in patient.pauses:
        if pause.reason == "temporary_haemodialysis":
            found.append((pause.started_on, is_long(pause.started_on, pause.started_on, days)))
    for spell in patient.spells:
        if spell.last_day_on and spell.end_reason == "haemodialysis":
            first_without = spell.last_day_on + timedelta(days=1)
            found.append((spell.last_day_on, is_long(spell.last_day_on, first_without, days)))
    return found


def is_long(d: date, first_without: date, days: RiskDays) -> bool:
    """ "long if >= 30 days pass before the next day at risk (a pause's first day counted) or none
    comes"."""
    back = days.next_at_risk(d)
    return back is None or (back - first_without).days >= LONG_TRANSFER_DAYS


def admissions_of(patient: Patient, case: Case) -> list[Admission]:
    """ "admission: a row names the episode"; a same_episode row lends its admissions."""
    return [one for one in patient.admissions if one.episode in case.names]


def dies_of(patient: Patient, case: Case, rule_set: str) -> bool:
    """ "<= 30 days after onset (rule_2016: under treatment or <= 28 days after onset), or inside
    an admission that names it"; "an open admission runs on"."""
    died = patient.died_on
    after_days = (died - case.onset_on).days
    if rule_set == "rule_2022" and 0 <= after_days <= 30:
        return True
    if rule_set == "rule_2016" and (under_treatment(case, died) or 0 <= after_days <= 28):
        return True
    return any(
        one.admitted_on <= died and (one.discharged_on is None or died <= one.discharged_on)
        for one in admissions_of(patient, case)
    )


def refractory(case: Case) -> str:
    """ "judged_refractory if yes or no; else the first sample with a count or an appearance from
    day 5 after the first appropriate antibiotic (else the first antibiotic; that day = 0) and
    under treatment is cloudy or > 100/uL -> yes, otherwise no; without such a sample
    not_assessable"."""
    episode: Episode = case.own
    if episode.judged_refractory in ("yes", "no"):
        return episode.judged_refractory
    day_0 = episode.appropriate_antibiotic_on or episode.first_antibiotic_on
    if day_0 is None:
        return "not_assessable"
    told = [
        s
        for s in case.all_samples
        if s.collected_on
        and (s.collected_on - day_0).days >= 5
        and under_treatment(case, s.collected_on)
        and (s.leucocytes_per_ul is not None or s.appearance)
    ]
    if not told:
        return "not_assessable"
    first = min(told, key=when)
    return "yes" if first.appearance == "cloudy" or (first.leucocytes_per_ul or 0) > 100 else "no"


def when(sample: Sample) -> datetime:
    return sample.collected_at or datetime.max.replace(tzinfo=UTC)


def set_outcomes(patient: Patient, firsts: list[Case], days: RiskDays, rule_set: str) -> None:
    """ "Outcome fields stand on confirmed peritonitis rows that are not same_episode"."""
    removed = [
        owner(firsts, c.removed_on)
        for c in patient.catheters
        if c.removed_on and c.removal_reason == "peritonitis"
    ]
    moved = [(owner(firsts, d), long) for d, long in transfers(patient, days)]
    died = latest([c for c in firsts if dies_of(patient, c, rule_set)]) if patient.died_on else None
    for case, after in zip_longest(firsts, firsts[1:]):
        has_removal = any(one is case for one in removed)
        has_long = any(one is case and long for one, long in moved)
        comes_back = after is not None and after.sequence in ("relapsing", "recurrent")
        # "cure: resolved yes, therapy end known, the next episode neither relapsing nor
        # recurrent, no removal, long transfer or death"
        ended_well = case.own.resolved == "yes" and case.last_therapy_end is not None
        cured = ended_well and not (comes_back or has_removal or has_long or died is case)
        case.outcomes = {
            "medical_cure": yes_no(cured),
            "refractory": refractory(case),
            "catheter_removed": yes_no(has_removal),
            "haemodialysis_transfer": yes_no(any(one is case for one, _ in moved)),
            "died": yes_no(died is case),
            "admitted": yes_no(bool(admissions_of(patient, case))),
        }


def yes_no(holds: bool) -> str:
    return "yes" if holds else "no"
