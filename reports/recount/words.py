"""The sentences of a Recount: its title, its parts, and what its lists cannot show."""

from __future__ import annotations

from typing import Any

from reports.rate_report.names import MEASURES, SPLITS, band_text
from reports.rate_report.number_text import counted_text, whole_text
from reports.rate_report.sentences import range_text, verdict_text
from reports.rate_report.value_text import value_text
from reports.recount.ledger import PatientDays
from reports.recount.lists import OUTCOME_SHARES, CaseLine

Row = dict[str, Any]


def title(row: Row) -> str:
    """The figure with its unit, taken apart."""
    if not row["denominator"]:
        return f"{MEASURES[row['measure']].title}: {value_text(row)}"
    unit = " per patient-year" if row["interval"] != "exact_binomial" else ""
    return f"{value_text(row)}{unit}, taken apart"


def lead(row: Row) -> str:
    words = MEASURES[row["measure"]]
    counts = (
        f"{whole_text(row['numerator'])} {words.counted} over "
        f"{whole_text(row['denominator'])} {words.over}"
    )
    divided = f", {_divided(row)}" if row["split"] else ""
    return f"{counts}{divided}. Every number below leads to its rows; your own count stands beside."


def _divided(row: Row) -> str:
    return f"of the band “{band_text(row['split'], row['band'])}”, {SPLITS[row['split']]}"


def is_by_band(row: Row) -> bool:
    """Divided by something that the stored lists do not carry row by row."""
    return row["split"] not in ("", "organism_group")


def sheets(row: Row) -> str:
    """Which of our files each formula is written for."""
    if row["denominator_unit"] == "episodes":
        return "A1 and A2 are cells of the sheet with the episodes."
    if is_by_band(row):
        return "A2 is a cell of the sheet with the days by band."
    return "A1 is a cell of the sheet with the episodes, A2 one of the sheet with the ledger."


def days_limits(row: Row, lines: list[PatientDays]) -> str:
    """What the ledger is for this figure: its denominator, or only its frame."""
    total = sum(line.days for line in lines)
    if is_by_band(row):
        return (
            f"The band has {whole_text(row['denominator'])} of these {whole_text(total)} days. The "
            "ledger stores days undivided; days by band are in the file of days."
        )
    if row["split"] == "organism_group":
        return "Days at risk belong to all organisms alike, so each group has all of them."
    return ""


def ledger_finding(row: Row, lines: list[PatientDays], cases: list[CaseLine]) -> str:
    total = sum(line.days for line in lines)
    at_risk = sum(line.days > 0 for line in lines)
    filled = sum(not one.mark.endswith("-open") for one in cases)
    marks = counted_text(filled, "filled mark", "filled marks")
    if is_by_band(row):
        return f"The band is a part of these {whole_text(total)} days and {marks}."
    if row["denominator_unit"] == "patient_days":
        return f"{whole_text(total)} days, {marks}: both parts of the figure in one ledger."
    return f"{counted_text(at_risk, 'patient', 'patients')} at risk on {whole_text(total)} days."


def cases_finding(row: Row, cases: list[CaseLine]) -> str:
    """How many rows there are, and how many of them the figure takes."""
    rows = counted_text(len(cases), "row", "rows")
    taken = sum(one.is_in for one in cases)
    if row["measure"] == "peritonitis_free_share":
        return f"{rows}: {taken} of them end freedom."
    if is_by_band(row):
        return f"{rows}: {taken} counted, {whole_text(row['numerator'])} of them in this band."
    return f"{rows}: {taken} in the first number, {len(cases) - taken} not."


def cases_limits(row: Row, cases: list[CaseLine]) -> str:
    """Why the rows may not give the first number by themselves."""
    if row["measure"] in OUTCOME_SHARES:
        return (
            "Only episodes followed up to their outcome are in the second number; the stored rows "
            "do not carry the day on which that is decided, so more rows than these may stand here."
        )
    if row["measure"] == "insertion_related_share":
        return "The figure counts catheters; the stored rows list the episodes beside them."
    if is_by_band(row):
        return (
            "The stored rows do not say in which band an onset fell; all bands together give "
            "every counted one."
        )
    return MEASURES[row["measure"]].note


def who(lines: list[PatientDays], is_identified: bool) -> str:
    """Whose lines these are, and under which names."""
    patients = counted_text(len(lines), "patient", "patients")
    if is_identified:
        return f"{patients}, by record number."
    return (
        f"{patients}, under your own pseudonyms. Lines and marks are drawn to whole months; the "
        "numbers of days are exact."
    )


_UNROUNDED_DIGITS = 6
_LIMITS = {
    "exact_poisson": "Exact 95 % limits for a count, Garwood 1936.",
    "exact_binomial": "Exact 95 % limits for a share, Clopper and Pearson 1934.",
    "": "A median has no limits here.",
}


def formula(row: Row) -> dict[str, Any]:
    """The formula written out: its fraction, the figure unrounded, then as it is shown."""
    if not row["denominator"]:
        return {}
    top, bottom = whole_text(row["numerator"]), whole_text(row["denominator"])
    fractions = {
        "exact_poisson": (f"{top} × 365.25", bottom),
        "exact_binomial": (top, bottom),
    }
    return {
        "fraction": fractions.get(row["interval"]),
        "unrounded": _unrounded(row["value"]),
        "shown": value_text(row),
        "range": range_text(row) if row["interval"] else "",
        "verdict": verdict_text(row),
        "limits": _LIMITS[row["interval"]],
    }


def _unrounded(value: float) -> str:
    """Cut after six digits, never rounded; dots say that it goes on."""
    whole, _, digits = f"{value:.17f}".partition(".")
    cut = f"{whole}.{digits[:_UNROUNDED_DIGITS]}"
    return f"{float(cut):g}" if float(cut) == value else f"{cut}…"
