"""Part 11, limits: what the figures cannot say, and what a reader may not conclude."""

from __future__ import annotations

from reports.rate_report.material import Material
from reports.rate_report.number_text import LITTLE_PATIENT_YEARS, is_little_time
from reports.rate_report.part import Part, Table, rows_of, text
from reports.rate_report.period_text import period_text

FIELDS = (
    text("limit", "which limit", "Limit", 2),
    text("says", "the limit in words", "", 6),
)
_ALWAYS = (
    ("small numbers", ("A quarter of a small clinic crosses its target by chance alone; read the "
     "rolling year with its range.")),
    ("clustering", ("Episodes cluster in patients, so the exact range is too narrow for comparing "
     "clinics; limits that allow for it stand among the estimates.")),
    ("one clinic, one patient", "A person who moves between clinics is a patient of each."),
    ("recorded only", "What nobody entered is not here; see completeness and ascertainment."),
    ("two targets", ("The rate's target and the target of patients free of peritonitis can "
     "disagree: one may be met and the other missed in the same year.")),
    ("no ranks", "Do not rank patients, nurses, trainers or clinics by these figures."),
    ("empty cells", ("An empty cell is missing; “hidden” is a small count that this reader may not "
     "have; 0 is a true zero. A zero denominator gives no rate.")),
)  # fmt: skip
_LISTS = (
    ("exact days", ("The ledger gives months and exact numbers of days, so that it sums; a reader "
     "can work out some dates from them. The lists are for the named recipient only.")),
)  # fmt: skip
_OUTSIDE = (
    ("suppression", ("Counts of 1 to 4 in divided figures are hidden, and in each table at least "
     "one more, so that no total gives them back. Divided figures stand for calendar years only.")),
)  # fmt: skip


def part(m: Material) -> Part:
    rows = [*_ALWAYS, *(_OUTSIDE if m.to.is_outside else _LISTS), *_little(m)]
    return Part(
        11, "limits", "Limits", (), (Table("limits", "Limits", FIELDS, rows_of(rows, FIELDS)),)
    )


def _little(m: Material) -> list[tuple[str, str]]:
    rows = [(period, m.figures.row(period, "peritonitis_rate")) for period in m.held]
    return [
        ("little time at risk", (f"{period_text(period)}: under {LITTLE_PATIENT_YEARS:g} "
         "patient-years (our choice), too little time at risk to say."))
        for period, row in rows if row and row["denominator"] and is_little_time(row["denominator"])
    ]  # fmt: skip
