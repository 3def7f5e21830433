"""One figure taken apart: each step with the stored number, how it comes, and a formula."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from reports.rate_report.names import MEASURES
from reports.rate_report.number_text import DAYS_PER_YEAR, long_text, whole_text
from reports.recount.formulas import denominator_formula, numerator_formula

Row = dict[str, Any]
NOT_IN_FILES = "the stored lists do not carry it"


@dataclass(frozen=True)
class Step:
    """One line of the recount; `cell` is its place in the reader's own sheet."""

    cell: str
    name: str
    how: str
    value: float | None
    formula: str
    is_whole: bool = False
    leads: str = ""  # the part of the page that holds its rows

    @property
    def shown(self) -> str:
        if self.value is None:
            return "–"
        return whole_text(self.value) if self.is_whole else long_text(self.value)


_ROWS_OF = {
    "patient_days": ("the ledger below", "#days"),
    "patients": ("the ledger below", "#days"),
    "episodes": ("the rows below", "#rows"),
}


def _counts(row: Row) -> Iterator[Step]:
    words = MEASURES[row["measure"]]
    top = numerator_formula(row["measure"], row["split"], row["band"])
    unit = row["denominator_unit"]
    bottom = denominator_formula(row["measure"], unit, row["split"], row["band"])
    yield Step(
        "A1", _first_letter(words.counted), "the rows below", row["numerator"], top, True, "#rows"
    )
    how, leads = _ROWS_OF.get(unit, ("", ""))
    yield Step("A2", _first_letter(words.over), how, row["denominator"], bottom, True, leads)


def _first_letter(text: str) -> str:
    return text[:1].upper() + text[1:]


def _rate_steps(row: Row) -> Iterator[Step]:
    days = row["denominator"]
    years = days / DAYS_PER_YEAR
    yield Step("A3", "Patient-years", "days ÷ 365.25", years, "=A2/365.25")
    yield Step("A4", "Rate", "episodes ÷ patient-years", row["value"], "=A1/A3")
    low, high = row["lower"], row["upper"]
    low_formula = "=IF(A1=0;0;CHISQ.INV(0.025;2*A1)/2/A3)"
    high_formula = "=CHISQ.INV(0.975;2*A1+2)/2/A3"
    yield Step("A5", "Lower limit", _chi_text(low, years), low, low_formula)
    yield Step("A6", "Upper limit", _chi_text(high, years), high, high_formula)


def _chi_text(limit: float | None, years: float) -> str:
    """The chi-square quantile that the stored limit contains, so that a printed table can do."""
    return "" if limit is None else f"{long_text(limit * 2 * years)} ÷ 2 ÷ patient-years"


def _share_steps(row: Row) -> Iterator[Step]:
    yield Step("A3", "Share", "first ÷ second", row["value"], "=A1/A2")
    low_formula = "=IF(A1=0;0;BETA.INV(0.025;A1;A2-A1+1))"
    high_formula = "=IF(A1=A2;1;BETA.INV(0.975;A1+1;A2-A1))"
    yield Step("A4", "Lower limit", "exact, Clopper-Pearson", row["lower"], low_formula)
    yield Step("A5", "Upper limit", "exact, Clopper-Pearson", row["upper"], high_formula)


def _median_steps(row: Row) -> Iterator[Step]:
    how = "the middle one of the patients' own episodes × 365.25 ÷ own days"
    yield Step("A3", "Median", how, row["value"], "=MEDIAN(own rates)")


_FURTHER = {"exact_poisson": _rate_steps, "exact_binomial": _share_steps, "": _median_steps}


def steps_of(row: Row) -> list[Step]:
    """Every step from the counts to the limits; with nobody at risk only the counts."""
    steps = list(_counts(row))
    return steps + list(_FURTHER[row["interval"] or ""](row)) if row["denominator"] else steps
