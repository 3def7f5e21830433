"""Part 2, headline: every undivided figure that the lists of this report give back."""

from __future__ import annotations

from typing import Any

from reports.charts.chart import Chart
from reports.charts.organisms import organisms
from reports.charts.rate_over_time import rate_over_time
from reports.rate_report.counting import RULES
from reports.rate_report.material import Material
from reports.rate_report.names import MEASURES, RATE
from reports.rate_report.number_text import DAYS_PER_YEAR, rate_text, whole_text
from reports.rate_report.organisms import counts, organism_rows
from reports.rate_report.part import Part, Picture, Table, number, text, whole
from reports.rate_report.period_text import period_text, rolling_year
from reports.rate_report.sentences import five_sentences, range_text, target_text, year_before
from reports.rate_report.value_text import value_text
from surveillance.words import verdict_text

Cells = dict[str, str]
Row = dict[str, Any]

FIELDS = (
    text("figure", "this report's own name of the figure", "Figure", 1),
    text("period", "period", "Period", 2),
    text("measure", "which figure", "", 3),
    text("title", "the figure in words", "What", 3),
    whole("numerator", "what is counted", "Counted", 1),
    whole("denominator", "what it is counted over", "Over", 1),
    text("denominator_unit", "patient_days, patients or episodes", "of", 2),
    number("patient_years", "days at risk / 365.25; rates only", "Patient-years", 1),
    number("value", "the figure: episodes per patient-year, or a share", "Value", 1),
    number("months_per_episode", "12 / rate; empty at no episode", "Months per episode", 1),
    number("lower", "lower limit, 95 %", "", 1),
    number("upper", "upper limit, 95 %", "Range, 95 %", 2),
    text("interval", "exact_poisson or exact_binomial; empty = none", "", 2),
    number("target", "target of the rule set; empty = none", "Target", 1),
    text("verdict", "the stored verdict", "Against the target", 3),
    whole("relapses_left_out", "relapses not counted again; peritonitis", "Relapses left out", 1),
)  # fmt: skip
_UNITS = {"patient_days": "patient-days"}


def part(m: Material) -> Part:
    pairs = [pair for period in m.held for pair in _pairs(m, period)]
    named = [(f"H{index:02d}", *pair) for index, pair in enumerate(pairs, start=1)]
    rows = [_cells(name, cells, m) for name, cells, _ in named]
    shown = [_shown(own, typed) for own, (_, _, typed) in zip(rows, named, strict=True)]
    table = Table("headline", "The figures that the lists give back", FIELDS, rows, shown=shown)
    return Part(2, "headline", "The figures", _sentences(m), (table,), tuple(_pictures(m)))


def _pairs(m: Material, period: str) -> list[tuple[Cells, Row]]:
    """Stored row as text and as numbers, in the order of the counting rules."""
    by_name = {row["measure"]: row for row in m.measures(period).rows if not row["split"]}
    found = ((by_name.get(name), m.figures.row(period, name)) for name in RULES)
    return [(cells, typed) for cells, typed in found if cells and typed]


def _cells(name: str, row: Cells, m: Material) -> Cells:
    own = {one.name: row.get(one.name, "") for one in FIELDS}
    own |= {"figure": name, "title": MEASURES[row["measure"]].title}
    if row["denominator_unit"] == "patient_days" and int(row["denominator"]):
        own["patient_years"] = repr(int(row["denominator"]) / DAYS_PER_YEAR)
        own["months_per_episode"] = repr(12 / float(row["value"])) if float(row["value"]) else ""
    if row["measure"] == RATE:
        own["relapses_left_out"] = str(_relapses(m, row["period"]))
    return own


def _relapses(m: Material, period: str) -> int:
    return sum(row["reason"] == "not_counted_relapse" for row in m.lists("cases", period))


def _shown(own: Cells, row: Row) -> Cells:
    """The same row for people: rounded no further than the verdict allows."""
    unit = row["denominator_unit"]
    return own | {
        "period": period_text(row["period"]),
        "numerator": whole_text(row["numerator"]),
        "denominator": whole_text(row["denominator"]),
        "denominator_unit": _UNITS.get(unit, unit),
        "patient_years": _short(own["patient_years"]),
        "value": _value(row),
        "months_per_episode": _short(own["months_per_episode"]),
        "upper": range_text(row).removeprefix("range ") if row["upper"] is not None else "",
        "target": target_text(row) if row["target"] is not None else "",
        "verdict": verdict_text(row["verdict"], unit) if row["verdict"] else "",
    }  # fmt: skip


def _short(cell: str) -> str:
    return f"{float(cell):,.1f}" if cell else ""


def _value(row: Row) -> str:
    if row["measure"] == "median_patient_rate" and row["value"] is not None:
        return rate_text(row["value"])
    return value_text(row)


def _sentences(m: Material) -> tuple[str, ...]:
    """The five sentences of the rolling year, where the report holds it."""
    year = next((one for one in m.held if one.endswith("/4q")), "")
    if not year:
        return ()
    said = []
    for one in five_sentences(m.figures, year):
        told = "".join(words for words, _ in one.parts)
        said.append(" ".join(filter(None, (f"{one.name}: {told}", one.verdict, one.note))))
    return tuple(said)


def _pictures(m: Material) -> list[Picture]:
    charts = [_over_time(m), None if m.to.is_outside else _organisms(m)]
    return [picture(chart) for chart in charts if chart]


def picture(chart: Chart) -> Picture:
    return Picture(chart.name, chart.title, chart.summary, chart.note, chart.svg)


def _over_time(m: Material) -> Chart | None:
    years = m.figures.undivided(RATE, m.figures.rolling_years(m.quarter))
    quarters = m.figures.undivided(RATE, m.figures.quarters(m.quarter))
    return rate_over_time(years, quarters) if any(row["denominator"] for row in years) else None


def _organisms(m: Material) -> Chart | None:
    now = rolling_year(m.quarter)
    if now not in m.held or not (rows := organism_rows(m.figures, now, year_before(now))):
        return None
    here, there = (counts(m.figures, one) for one in (now, year_before(now)))
    groups = [group for group, _, _ in rows]
    listed = [[row for one in groups if (row := held.get(one))] for held in (here, there)]
    return organisms(*listed, groups, (now, year_before(now)))
