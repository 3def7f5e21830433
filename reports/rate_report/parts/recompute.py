"""Part 13, recompute: for each headline figure the inputs and the steps, for a spreadsheet."""

from __future__ import annotations

from reports.rate_report.counting import denominator_words, numerator_words
from reports.rate_report.material import Material
from reports.rate_report.names import MEASURES
from reports.rate_report.part import Part, Table, number, rows_of, text
from reports.rate_report.parts import headline
from reports.rate_report.parts.outside import NOT_FOR_OUTSIDE
from reports.rate_report.period_text import period_text

Cells = dict[str, str]
FIELDS = (
    text("figure", "the figure's name in the headline table", "Figure", 1),
    text("period", "only rows of this period are used", "Period", 2),
    text("measure", "which figure", "", 2),
    text("quantity", "numerator, denominator, value, lower or upper", "Quantity", 2),
    number("reported", "what the headline table says", "Reported", 2),
    text("how", "how it comes from the other tables", "How", 6),
)
_RATE = {
    "value": "numerator × 365.25 ÷ denominator",
    "lower": "0 at numerator 0, else χ²(0.025; 2 × numerator) ÷ 2 × 365.25 ÷ denominator",
    "upper": "χ²(0.975; 2 × numerator + 2) ÷ 2 × 365.25 ÷ denominator",
}
_SHARE = {
    "value": "numerator ÷ denominator",
    "lower": "0 at numerator 0, else Beta(0.025; numerator, denominator − numerator + 1)",
    "upper": "1 if they are equal, else Beta(0.975; numerator + 1, denominator − numerator)",
}
_MEDIAN = {"value": "median over patients of counted_episodes × 365.25 ÷ days_at_risk"}
_HOW = {"exact_poisson": _RATE, "exact_binomial": _SHARE, "": _MEDIAN}


def part(m: Material) -> Part:
    if m.to.is_outside:
        return Part(13, "recompute", "Recompute", NOT_FOR_OUTSIDE)
    figures = headline.part(m).tables[0].rows
    rows = rows_of([step for figure in figures for step in _steps(figure)], FIELDS)
    says = (
        (
            "Every headline figure comes back from the ledger, the patients and the line list by "
            "these steps. The workbook does it by live formulas; verify_report without a database."
        ),
    )
    table = Table("recompute", "From the lists to each figure", FIELDS, rows,
                  shown=[_shown(row) for row in rows])  # fmt: skip
    return Part(13, "recompute", "Recompute", says, (table,))


def _steps(figure: Cells) -> list[tuple[str, ...]]:
    start = figure["figure"], figure["period"], figure["measure"]
    over, counted = (words(figure["measure"]) for words in (denominator_words, numerator_words))
    steps = [
        (*start, "numerator", figure["numerator"], counted),
        (*start, "denominator", figure["denominator"], over),
    ]
    if not int(figure["denominator"]):
        return steps
    return steps + [
        (*start, name, figure[name], how) for name, how in _HOW[figure["interval"]].items()
    ]


def _shown(row: Cells) -> Cells:
    reported = row["reported"]
    if row["quantity"] in ("value", "lower", "upper") and reported:
        reported = f"{float(reported):.4f}"
    is_first = row["quantity"] == "numerator"
    name = MEASURES[row["measure"]].title if is_first else ""
    return row | {
        "period": period_text(row["period"]) if is_first else "",
        "figure": row["figure"] if is_first else "",
        "quantity": f"{name}: numerator" if is_first else row["quantity"],
        "reported": reported,
    }
