"""Faults against birth and death: no fact lies before the one or after the other."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, tzinfo

from clinic.checks.rows import CheckRow, Finding, Mark, PatientRows, by_day, fault, local_day
from clinic.columns import SUBJECTS
from clinic.reading import day_text
from clinic.reading.limits import OLDEST_AGE_YEARS

_DATED = {
    name: tuple(
        column.name for column in subject if column.kind in ("day", "moment") and not column.to_come
    )
    for name, subject in SUBJECTS.items()
    if name not in ("clinics", "patients")
}


def facts_outside_life(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for patient in rows.get("patients", ()):
        born, died = patient["birth_date"], patient["died_on"]
        if born or died:
            for row, name, day in _facts(rows, zone):
                if born and day < born:
                    yield _before_birth(row, name, day, patient)
                if died and day > died:
                    yield _after_death(row, name, day, patient)


def _facts(rows: PatientRows, zone: tzinfo) -> Iterator[tuple[CheckRow, str, date]]:
    for subject, names in _DATED.items():
        for row in rows.get(subject, ()):
            for name in names:
                if value := row.values.get(name):
                    yield row, name, local_day(value, zone)


def _before_birth(row: CheckRow, name: str, day: date, patient: CheckRow) -> Finding:
    born = day_text(patient["birth_date"])
    said = f"{name} of {row.name} ({day_text(day)}) is before birth ({born})"
    return fault("before_birth", said, (row, name), (patient, "birth_date"))


def _after_death(row: CheckRow, name: str, day: date, patient: CheckRow) -> Finding:
    died = day_text(patient["died_on"])
    said = f"{name} of {row.name} ({day_text(day)}) is after died_on ({died}); one of them is wrong"
    return fault("after_death", said, (row, name), (patient, "died_on"))


def told_at_the_patient(findings: list[Finding]) -> list[Finding]:
    """Where only the patient's own row changed, one finding there names all the others."""
    kept: list[Finding] = []
    gathered: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.code in _GATHERED and not finding.marks[0].row.changed:
            gathered.setdefault(finding.code, []).append(finding)
        else:
            kept.append(finding)
    return kept + [_one_of(code, several) for code, several in gathered.items()]


_GATHERED = {"before_birth": "later", "after_death": "earlier"}


def _one_of(code: str, several: list[Finding]) -> Finding:
    if len(several) == 1:
        patient = several[0].marks[1]
        return Finding(code, several[0].sentence, (patient, several[0].marks[0]))
    others: tuple[Mark, ...] = tuple(finding.marks[0] for finding in several)
    named = "; ".join(f"{mark.field} of {mark.row.name}" for mark in others)
    said = f"{_GATHERED[code]} than {len(several)} records of this patient ({named})"
    return Finding(code, said, (several[0].marks[1], *others))


def ages_beyond_belief(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    """An empty spreadsheet cell often becomes 1 Jan 1900, and the oldest patient of all."""
    for patient in rows.get("patients", ()):
        born = patient["birth_date"]
        spells = by_day(rows.get("pd_spells", ()), "started_on")
        if not born or not spells:
            continue
        years = _age_years(born, spells[0]["started_on"])
        if years > OLDEST_AGE_YEARS:
            said = f"age {years} at PD start (at most {OLDEST_AGE_YEARS}, setting)"
            if born == date(1900, 1, 1):
                said += "; 1 Jan 1900 is often an empty spreadsheet cell"
            marks = ((patient, "birth_date"), (spells[0], "started_on"))
            yield fault("age", said, *marks, allowed="a day as YYYY-MM-DD, or empty")


def _age_years(born: date, day: date) -> int:
    return day.year - born.year - ((day.month, day.day) < (born.month, born.day))
