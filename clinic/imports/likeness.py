"""After a clinic's rows are written: which of its patients may be one person (bad_inputs I03)."""

from __future__ import annotations

from clinic.checks import Likeness, same_person_pairs
from clinic.imports.places import Place, Remark
from clinic.models import Clinic, Patient, PdSpell
from clinic.reading import day_text


def likeness_warnings(clinic: Clinic, touched: set[str]) -> list[Remark]:
    """Pairs in which a patient of this load has a part; nobody is merged."""
    return [
        _remark(first, second)
        for first, second in same_person_pairs(likenesses(clinic))
        if first.patient in touched or second.patient in touched
    ]


def likenesses(clinic: Clinic) -> list[Likeness]:
    standing = Patient.objects.filter(clinic=clinic, withdrawn_at=None, birth_date__isnull=False)
    spells: dict[int, list] = {}
    rows = PdSpell.objects.filter(patient__clinic=clinic, withdrawn_at=None)
    for patient, *ends in rows.values_list("patient_id", "started_on", "last_day_on"):
        spells.setdefault(patient, []).append(tuple(ends))
    return [
        Likeness(number, born, sex, tuple(spells.get(pk, ())))
        for pk, number, born, sex in standing.values_list("pk", "number", "birth_date", "sex")
    ]


def _remark(first: Likeness, second: Likeness) -> Remark:
    said = (
        f"may be the same person as {second.patient}: both born {day_text(first.birth_date)}, "
        "same sex, spells that overlap; both count until a person decides"
    )
    return Remark(Place("patients.csv"), "patient", first.patient, said, code="same_person")
