"""Who and what: organism classes, families by quarter with water apart, culture-negative."""

from __future__ import annotations

from collections import Counter
from typing import Any

from reports.charts.chart import Chart
from reports.charts.families import FAMILIES, WATER, Lane, families
from reports.charts.flags import Flag
from reports.charts.organisms import organisms
from reports.charts.rate_over_time import Told, rate_over_time
from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection
from reports.dashboard.sections.rate import over_time
from reports.rate_report.findings import NOT_COMPLETE, organisms_headline
from reports.rate_report.names import RATE
from reports.rate_report.number_text import counted_text, percent_text
from reports.rate_report.organisms import counts, numbers, organism_rows
from reports.rate_report.period_text import quarter_ends_text, quarter_of
from reports.rate_report.sentences import RATIO, change_side
from surveillance.periods import parse_period
from surveillance.words import day_text

Row = dict[str, Any]
SPLIT = "organism_group"
QUARTERS = 16


def section(m: Material) -> PageSection:
    return PageSection(
        "organisms", "Organisms",
        "Same order every quarter. Broad bar this year, thin line the year before. "
        "Gram + whole, − slit.",
        (_classes(m), _families(m), _culture_negative(m)),
    )  # fmt: skip


def _classes(m: Material) -> Chart:
    now, before = m.year, m.year_before
    rows = organism_rows(m.figures, now, before)
    here, there = counts(m.figures, now), counts(m.figures, before)
    change = change_side(m.figures.estimate(now, RATIO))
    title = NOT_COMPLETE
    if m.figures.row(now, RATE):
        title = organisms_headline(numbers(here), numbers(there), change)
    groups = [group for group, _, _ in rows]
    listed = [[row for one in groups if (row := held.get(one))] for held in (here, there)]
    return organisms(*listed, groups, (now, before), title, m.lead)


def _families(m: Material) -> Chart:
    quarters = m.figures.quarters(m.quarter)[-QUARTERS:]
    by_quarter = {one: counts(m.figures, one) for one in quarters}
    lanes = [_lane(m, name, groups, by_quarter) for name, groups in FAMILIES.items()]
    note = (
        "Each counted episode stands once, in the quarter of its onset. Water organisms: "
        "Pseudomonas, Acinetobacter, Stenotrophomonas (our grouping)."
    )
    return families(lanes, quarters, _water_title(by_quarter, m.quarter), note)


def _lane(
    m: Material, name: str, groups: tuple[str, ...], by_quarter: dict[str, dict[str, Row]]
) -> Lane:
    totals, leads = [], []
    for quarter, rows in by_quarter.items():
        own = [row for group, row in rows.items() if group in groups and row["numerator"]]
        totals.append(sum(row["numerator"] for row in own))
        # A bar of several classes opens all episodes of its quarter, which hold them.
        opened = own[0] if len(own) == 1 else m.figures.row(quarter, RATE)
        leads.append(m.lead(opened) if own and opened else "")
    return Lane(name, tuple(totals), tuple(leads))


def _water_title(by_quarter: dict[str, dict[str, Row]], quarter: str) -> str:
    water: Counter[str] = Counter()
    for one, rows in by_quarter.items():
        water[one] = sum(row["numerator"] for group, row in rows.items() if group in WATER)
    total, here = water.total(), water[quarter]
    many = counted_text(total, "water organism", "water organisms")
    quarters = counted_text(len(by_quarter), "quarter", "quarters")
    return f"{many} in {quarters}, {here or 'none'} in the last."


def _culture_negative(m: Material) -> Chart:
    years, quarters = over_time(m, "culture_negative_share")
    note = "Of confirmed episodes, those sampled that grew nothing. Small dot: the quarter alone."
    flags = m.flags("culture_negative_share")
    note = " ".join((note, *(since for flag in flags if (since := since_text(years, flag)))))
    told = Told(
        "culture_negative_over_time", _negative_title(years), "Culture-negative share", note
    )
    return rate_over_time(years, quarters, told, m.lead, flags)


def _negative_title(years: list[Row]) -> str:
    if not years:
        return NOT_COMPLETE
    last = years[-1]
    if not last["denominator"]:
        return "No episode to count in this year."
    goal = percent_text(last["target"]) if last["target"] is not None else ""
    said = {
        "meets": f"The culture-negative share lies below {goal}, beyond chance",
        "misses": f"The culture-negative share lies above {goal}, beyond chance",
    }
    now = said.get(last["verdict"], f"The target of {goal} lies inside the range of the share")
    missed = [row["period"] for row in years[:-1] if row["verdict"] == "misses"]
    if not missed or last["verdict"] == "misses":
        return f"{now}."
    ended = quarter_ends_text(quarter_of(missed[-1]))
    return f"{now}; the last year above it, beyond chance, ended on {ended}."


def since_text(years: list[Row], flag: Flag) -> str:
    """The last full year before a change beside the first full year after it, as stored."""
    before = [row for row in years if parse_period(row["period"]).last_day < flag.on]
    after = [row for row in years if parse_period(row["period"]).start >= flag.on]
    if not before or not after or not (before[-1]["denominator"] and after[0]["denominator"]):
        return ""
    pair = [
        f"{row['numerator']} of {row['denominator']} ({percent_text(row['value'])})"
        for row in (before[-1], after[0])
    ]
    return (
        f"{day_text(flag.on)}, {flag.says}: in the full year before {pair[0]}, "
        f"in the first full year after {pair[1]}."
    )
