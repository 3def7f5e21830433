"""One clinic taken apart day by day: its patients, days, cases and periods."""

from dataclasses import dataclass
from datetime import date

from tests.recount.bands import bands_of_day
from tests.recount.cases import cases_of
from tests.recount.days import RiskDays, catheter_days
from tests.recount.organisms import Catalogue
from tests.recount.periods import Period, ended_periods
from tests.recount.seen import Patient, Row, Rows, patients_seen
from tests.recount.sequence import Case


@dataclass
class PatientCount:
    patient: Patient
    days: RiskDays
    catheter_days: set[date]
    bands: dict[date, dict[str, str]]  # of each day at risk, by split
    cases: list[Case]


@dataclass
class ClinicCount:
    name: str
    rule_set: str
    as_of: date
    periods: list[Period]
    patients: list[PatientCount]


def count_clinic(
    rows: Rows, clinic: Row, catalogue: Catalogue, rule_set: str, as_of: date, through: str | None
) -> ClinicCount:
    patients = patients_seen(rows, clinic, as_of, catalogue)
    counts = [count_patient(patient, rule_set, as_of) for patient in patients]
    first = first_dated_day(patients)
    periods = ended_periods(first.year, as_of, through) if first else []
    return ClinicCount(clinic["clinic"], rule_set, as_of, periods, counts)


def count_patient(patient: Patient, rule_set: str, as_of: date) -> PatientCount:
    days = RiskDays(patient, rule_set, as_of)
    return PatientCount(
        patient,
        days,
        catheter_days(patient, as_of),
        {d: bands_of_day(patient, d) for d in days.at_risk},
        cases_of(patient, days, rule_set),
    )


def first_dated_day(patients: list[Patient]) -> date | None:
    """ "the year of its earliest spell, catheter insertion or onset"; "the first year looks at
    onsets of infections too"; "a clinic with nothing dated has no rows"."""
    dated = []
    for patient in patients:
        dated += [spell.started_on for spell in patient.spells]
        dated += [catheter.inserted_on for catheter in patient.catheters]
        dated += [one.onset_on for one in (*patient.episodes, *patient.infections)]
    return min(dated, default=None)
