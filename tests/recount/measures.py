"""The measure rows of one clinic, each numerator and denominator counted one by one (3.3)."""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from statistics import median

from tests.recount.clinics import ClinicCount, PatientCount
from tests.recount.measure_rows import DAYS_PER_YEAR, Figure, ordered
from tests.recount.organisms import exclusive_class, organism_groups
from tests.recount.outcomes import followed_up
from tests.recount.periods import Period
from tests.recount.sequence import Case

GROUPS = (
    "coagulase_negative_staphylococcus",
    "staphylococcus_aureus",
    "streptococcus",
    "enterococcus",
    "corynebacterium",
    "other_gram_positive",
    "escherichia_coli",
    "other_enterobacterales",
    "pseudomonas",
    "acinetobacter",
    "stenotrophomonas",
    "other_gram_negative",
    "anaerobe",
    "fungal",
    "mycobacterial",
    "other_organism",
)
CLASSES = ("culture_pending", "culture_negative", "not_cultured", "polymicrobial", *GROUPS)
SEQUENCE_SHARES = ("relapsing", "recurrent", "repeat")
OUTCOME_SHARES = {
    "medical_cure_share": "medical_cure",
    "refractory_share": "refractory",
    "catheter_removal_share": "catheter_removed",
    "haemodialysis_transfer_share": "haemodialysis_transfer",
    "death_share": "died",
    "admission_share": "admitted",
}


@dataclass(frozen=True)
class Event:
    """One counted infection, with the bands of the day of its onset."""

    onset_on: date
    bands: dict[str, str]
    organism_class: str
    organism_groups: tuple[str, ...]


def events_of(person: PatientCount, kinds: tuple[str, ...]) -> list[Event]:
    """Counted rows of these kinds; "infections counted in either site, once"."""
    counted = {case.episode: case for case in person.cases if case.counts and case.kind in kinds}
    return [event(person, case) for case in counted.values()]


def event(person: PatientCount, case: Case) -> Event:
    return Event(
        case.onset_on,
        person.bands[case.onset_on],
        exclusive_class(case.culture_group, case.organisms),
        tuple(organism_groups(case.culture_group, case.organisms)),
    )


RATES = {
    "peritonitis_rate": ("peritonitis",),
    "exit_site_infection_rate": ("exit_site",),
    "tunnel_infection_rate": ("tunnel",),
    "catheter_infection_rate": ("exit_site", "tunnel"),
}


def measure_rows(clinic: ClinicCount) -> list[dict[str, object]]:
    figures: list[Figure] = []
    for period in clinic.periods:
        figures += rate_figures(clinic, period)
        figures += organism_figures(clinic, period)
        figures += patient_figures(clinic, period)
        figures += episode_figures(clinic, period)
        figures.append(insertion_figure(clinic, period))
    return ordered([figure.row(clinic.name, clinic.rule_set, clinic.as_of) for figure in figures])


def days_in(clinic: ClinicCount, period: Period) -> list[dict[str, str]]:
    """The bands of every patient-day at risk of the period."""
    return [person.bands[d] for person in clinic.patients for d in period.days if d in person.bands]


def days_by_band(clinic: ClinicCount, period: Period) -> Counter[tuple[str, str]]:
    counter: Counter[tuple[str, str]] = Counter()
    for bands in days_in(clinic, period):
        counter.update(bands.items())
    return counter


def events_in(clinic: ClinicCount, period: Period, kinds: tuple[str, ...]) -> list[Event]:
    every = [one for person in clinic.patients for one in events_of(person, kinds)]
    return [one for one in every if period.holds(one.onset_on)]


def rate_figures(clinic: ClinicCount, period: Period) -> Iterable[Figure]:
    """The four rates, undivided and "for quarters, years and rolling years a band row exists if
    its numerator or denominator is not 0"."""
    days = len(days_in(clinic, period))
    by_band = days_by_band(clinic, period) if period.has_bands else {}
    for measure, kinds in RATES.items():
        events = events_in(clinic, period, kinds)
        yield Figure(period, measure, len(events), days)
        found = Counter(pair for one in events for pair in one.bands.items())
        for split, band in by_band.keys() | found.keys() if period.has_bands else ():
            pair = (split, band)
            yield Figure(period, measure, found[pair], by_band.get(pair, 0), split, band)


def organism_figures(clinic: ClinicCount, period: Period) -> Iterable[Figure]:
    """ "exclusive classes; days not divided: each band has all days" and "the 16 groups,
    overlapping, may exceed the total"."""
    if not period.has_bands:
        return
    days = len(days_in(clinic, period))
    events = events_in(clinic, period, ("peritonitis",))
    for name in CLASSES:
        count = sum(one.organism_class == name for one in events)
        if count or days:
            yield Figure(period, "peritonitis_rate", count, days, "organism_group", name)
    for name in GROUPS:
        count = sum(name in one.organism_groups for one in events)
        if count or days:
            yield Figure(period, "organism_rate", count, days, "organism_group", name)


def patient_figures(clinic: ClinicCount, period: Period) -> Iterable[Figure]:
    """Median and infection-free share among "patients with >= 1 day at risk in the period"."""
    rates, free, counted = [], 0, 0
    for person in clinic.patients:
        own_days = sum(d in person.days.at_risk for d in period.days)
        if own_days == 0:
            continue
        own = sum(period.holds(one.onset_on) for one in events_of(person, ("peritonitis",)))
        rates.append(Fraction(own) * DAYS_PER_YEAR / own_days)
        counted += own
        # "those without an E (relapse too) whose onset is at risk in the period"
        free += not any(
            period.holds(case.onset_on) and not case.off_risk for case in first_rows(person)
        )
    middle = median(rates) if rates else None
    yield Figure(period, "median_patient_rate", counted, len(rates), median=middle)
    yield Figure(period, "peritonitis_free_share", free, len(rates))


def first_rows(person: PatientCount) -> list[Case]:
    """E without the period: "confirmed peritonitis ..., at risk or not, same_episode rows not"."""
    return [
        case
        for case in person.cases
        if case.kind == "peritonitis"
        and case.confirmed == "confirmed"
        and case.sequence != "same_episode"
    ]


def episode_figures(clinic: ClinicCount, period: Period) -> Iterable[Figure]:
    e = [
        case
        for person in clinic.patients
        for case in first_rows(person)
        if period.holds(case.onset_on)
    ]

    def share(measure: str, holds: Callable[[Case], bool], of: list[Case]) -> Figure:
        return Figure(period, measure, sum(map(holds, of)), len(of))

    yield share("culture_negative_share", lambda c: c.culture_group == "culture_negative", e)
    yield share(
        "not_cultured_share", lambda c: c.culture_group in ("not_cultured", "culture_pending"), e
    )
    for name in SEQUENCE_SHARES:
        yield share(f"{name}_share", lambda c, name=name: c.sequence == name, e)
    known = [case for case in e if followed_up(case, clinic.as_of)]
    for measure, field in OUTCOME_SHARES.items():  # "those with it; unknown = not"
        yield share(measure, lambda c, field=field: c.outcomes[field] == "yes", known)


def insertion_figure(clinic: ClinicCount, period: Period) -> Figure:
    """ "those with an E, of any period, on day 0-30, no later catheter between (of one day: the
    last by name)" of "catheters inserted in the period with day 30 <= as_of"."""
    inserted = infected = 0
    for person in clinic.patients:
        onsets = [case.onset_on for case in first_rows(person)]
        blamed = [latest_catheter(person, onset) for onset in onsets]
        for catheter in person.patient.catheters:
            day_30 = catheter.inserted_on + timedelta(days=30)
            if period.holds(catheter.inserted_on) and day_30 <= clinic.as_of:
                inserted += 1
                infected += any(
                    one is catheter and onset <= day_30
                    for one, onset in zip(blamed, onsets, strict=True)
                )
    return Figure(period, "insertion_related_share", infected, inserted)


def latest_catheter(person: PatientCount, onset: date) -> object:
    earlier = [c for c in person.patient.catheters if c.inserted_on <= onset]
    return max(earlier, key=lambda c: (c.inserted_on, c.name), default=None)
