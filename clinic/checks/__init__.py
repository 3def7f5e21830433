"""What one patient's rows say about each other: faults refuse, warnings are stored and listed."""

from clinic.checks.patient import check_patient
from clinic.checks.rows import CheckRow, Finding, Mark, PatientRows
from clinic.checks.same_person import Likeness, same_person_pairs
from clinic.checks.stored_rows import Stored, stored_rows

__all__ = [
    "CheckRow",
    "Finding",
    "Likeness",
    "Mark",
    "PatientRows",
    "Stored",
    "check_patient",
    "same_person_pairs",
    "stored_rows",
]
