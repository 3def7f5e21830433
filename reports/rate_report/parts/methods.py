"""Part 10, methods: the formula of every figure, and what is drawn at random with which seed."""

from __future__ import annotations

from reports.rate_report.material import Material
from reports.rate_report.part import Part, Table, rows_of, text

FIELDS = (
    text("name", "which method", "Method", 2),
    text("formula", "its formula in words", "Formula", 5),
    text("source", "where it comes from", "Source", 4),
)
_ROWS = (
    ("rate", "counted episodes × 365.25 ÷ days at risk; sums over sums, never a mean of rates",
     "PD guideline practice; 365.25 is our choice, said in the definitions"),
    ("months per episode", "12 ÷ rate", "older unit of the same figure"),
    ("limits of a rate", ("lower = χ²(0.025; 2n) ÷ 2 ÷ patient-years, 0 at n = 0; "
     "upper = χ²(0.975; 2n + 2) ÷ 2 ÷ patient-years"), "Garwood 1936, exact Poisson"),
    ("limits of a share", ("lower = Beta(0.025; n, d − n + 1), 0 at n = 0; "
     "upper = Beta(0.975; n + 1, d − n), 1 at n = d"), "Clopper and Pearson 1934, exact binomial"),
    ("median of own rates", ("the middle one of the patients' own counted episodes × 365.25 ÷ own "
     "days, of those with at least one day at risk; no limits"), "own definition, design 3.3"),
    ("verdict", "the unrounded value against the target; uncertain where the limits hold it",
     "own definition, design 3.3"),
    ("pseudonym", ("HMAC-SHA-256 of recipient, series, clinic and record number under a key that "
     "stays in the clinic's system; 7 letters"), "own choice"),
    ("random numbers", ("none in this report's headline; bootstrap limits among the estimates are "
     "seeded by the clinic's code and its days at risk"), "own choice"),
    ("rounding", "nothing is rounded in the tables; paper and sentences round for reading only",
     "own choice"),
)  # fmt: skip


def part(m: Material) -> Part:
    table = Table("methods", "Formulas", FIELDS, rows_of(_ROWS, FIELDS))
    return Part(10, "methods", "Methods", (), (table,))
