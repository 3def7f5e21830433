"""The second route to every figure: a slow recount of record files, day by day."""

from datetime import date

from tests.recount.cases import case_row
from tests.recount.clinics import ClinicCount, count_clinic
from tests.recount.days_table import days_rows, ledger_rows
from tests.recount.measures import measure_rows
from tests.recount.organisms import Catalogue
from tests.recount.seen import Row, Rows

Table = list[dict[str, object]]


def recount(
    rows: Rows, catalogue: list[Row], rule_set: str, as_of: date, through: str | None = None
) -> dict[str, Table]:
    """The tables `cases, days, ledger, measures` of every clinic of a folder of record files.

    `rows`: file name without ending -> rows as text; `catalogue`: rows of organisms.csv.
    """
    known = Catalogue(catalogue)
    tables: dict[str, Table] = {"cases": [], "days": [], "ledger": [], "measures": []}
    for row in sorted(rows["clinics"], key=lambda row: row["clinic"]):
        clinic = count_clinic(rows, row, known, rule_set, as_of, through)
        tables["cases"] += case_rows(clinic)
        tables["days"] += days_rows(clinic)
        tables["ledger"] += ledger_rows(clinic)
        tables["measures"] += measure_rows(clinic)
    return tables


def case_rows(clinic: ClinicCount) -> Table:
    """ "sorted by clinic, onset_on, patient, kind, episode"."""
    rows = [case_row(one.patient, case) for one in clinic.patients for case in one.cases]
    keys = ("onset_on", "patient", "kind", "episode")
    return sorted(rows, key=lambda row: [row[key] for key in keys])
